/** A 24-bit file with two channels, written by hand and not by the code that the server has for it. */
export function wav24Of(rate: number, frames: readonly (readonly [number, number])[]): Uint8Array<ArrayBuffer> {
  const bytes = Buffer.alloc(44 + frames.length * 6);
  bytes.write('RIFF', 0);
  bytes.writeUInt32LE(bytes.length - 8, 4);
  bytes.write('WAVEfmt ', 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(2, 22);
  bytes.writeUInt32LE(rate, 24);
  bytes.writeUInt32LE(rate * 6, 28);
  bytes.writeUInt16LE(6, 32);
  bytes.writeUInt16LE(24, 34);
  bytes.write('data', 36);
  bytes.writeUInt32LE(frames.length * 6, 40);
  frames.forEach(([left, right], at) => {
    bytes.writeIntLE(left, 44 + at * 6, 3);
    bytes.writeIntLE(right, 47 + at * 6, 3);
  });
  return new Uint8Array(bytes);
}
