/** Changes bytes of an Ogg file and makes the checksums of its pages fit again, so that what is behind them is reached. */
export function repaged(bytes: Buffer, change: (copy: Buffer) => void): Buffer {
  const copy = Buffer.from(bytes);
  change(copy);
  let at = 0;
  while (at + 27 <= copy.length && copy.toString('latin1', at, at + 4) === 'OggS') {
    const segments = copy[at + 26] as number;
    const sizes = copy.subarray(at + 27, at + 27 + segments);
    const end = at + 27 + segments + sizes.reduce((sum, size) => sum + size, 0);
    copy.writeUInt32LE(0, at + 22);
    // RFC 3533, section 6: polynomial 0x04c11db7, bit by bit.
    let crc = 0;
    for (const byte of copy.subarray(at, end)) {
      crc ^= byte << 24;
      for (let bit = 0; bit < 8; bit += 1) crc = crc < 0 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
    }
    copy.writeUInt32LE(crc >>> 0, at + 22);
    at = end;
  }
  return copy;
}
