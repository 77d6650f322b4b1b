import type { ByteFile } from './byte-file';
import { ByteWindow } from './byte-window';
import { Decoder } from './decoder';
import { SoundError } from './sound-error';
import { checkFrames, checkShape, type SoundLimits } from './sound-limits';

// Pages: RFC 3533 (2003). Opus in Ogg: RFC 7845 (2016). Vorbis: Vorbis I specification, Xiph.Org (2020).

export interface OggLayout {
  coding: 'vorbis' | 'opus';
  rate: number;
  channels: number;
  frames: number;
  /** By what an Opus file wants its samples multiplied. */
  gain: number;
}

const again = 'Export it again as Ogg, or as WAV.';
const broken = (what: string): SoundError => new SoundError('broken', `This Ogg file can’t be read: ${what}. ${again}`);

/** Walks from page to page through the whole file: each must fit its checksum and follow the one before. */
export async function readOgg(file: ByteFile, limits: SoundLimits): Promise<OggLayout> {
  const window = new ByteWindow(file, 0);
  const { before, ...layout } = firstPacket(await wholePage(window));
  checkShape({ ...layout, frames: null }, limits);
  let granule = 0;
  let serial = -1;
  let ended = false;
  for (let count = 0; window.left > 0; count += 1) {
    const place = window.position;
    const page = await wholePage(window);
    window.advance(page.length);
    if (ended) throw trailing(place);
    const flags = page[5] as number;
    if (count === 0) serial = page.readUInt32LE(14);
    if (count > 0 && (page.readUInt32LE(14) !== serial || flags & 2)) {
      throw new SoundError(
        'unsupported',
        `This Ogg file has several streams, such as a video has. Export its sound by itself.`,
      );
    }
    if (page.readUInt32LE(18) !== count) {
      throw new SoundError(
        'broken',
        `In this Ogg file a page is missing before byte ${place}. Copy it again, or export it again.`,
      );
    }
    const stands = page.readBigInt64LE(6);
    if (stands !== -1n) {
      if (stands < BigInt(granule) || stands > BigInt(Number.MAX_SAFE_INTEGER))
        throw broken('its pages are out of order');
      granule = Number(stands);
    }
    ended = (flags & 4) !== 0;
  }
  if (!ended) {
    throw new SoundError(
      'truncated',
      'This Ogg file has no end: it was broken off. Copy it again, or export it again.',
    );
  }
  const frames = Math.max(0, granule - before);
  checkFrames(frames, layout.rate, limits);
  return { ...layout, frames };
}

const trailing = (place: number): SoundError =>
  new SoundError(
    'trailing',
    `After the end of this Ogg file, at byte ${place}, comes something that doesn’t belong to it, such as a second recording. ${again}`,
  );

/** The page that begins here, header and all. */
async function wholePage(window: ByteWindow): Promise<Buffer> {
  const place = window.position;
  const head = await window.peek(27 + 255);
  if (!'OggS'.startsWith(head.toString('latin1', 0, 4))) throw damaged(place);
  const segments = head[26] ?? 0;
  if (head.length < 27 + segments) throw cutOff(place);
  if (head[4] !== 0) throw broken('it is of a later version than is known');
  let length = 27 + segments;
  for (let i = 0; i < segments; i += 1) length += head[27 + i] as number;
  const page = await window.peek(length);
  if (page.length < length) throw cutOff(place);
  let crc = 0;
  for (let i = 0; i < length; i += 1) {
    // The place of the checksum itself counts as zeros.
    const byte = i >= 22 && i < 26 ? 0 : (page[i] as number);
    crc = (crc << 8) ^ (crc32[((crc >>> 24) ^ byte) & 255] as number);
  }
  if (crc >>> 0 !== page.readUInt32LE(22)) throw damaged(place);
  return page;
}

const damaged = (place: number): SoundError =>
  new SoundError(
    'checksum',
    `This Ogg file is damaged: the page at byte ${place} doesn’t fit its checksum. Copy it again, or export it again.`,
  );

const cutOff = (place: number): SoundError =>
  new SoundError(
    'truncated',
    `This Ogg file breaks off in the midst of a page, at byte ${place}. Copy it again, or export it again.`,
  );

/** What is in the stream stands in its first packet, which has a page of its own. */
function firstPacket(page: Buffer): Omit<OggLayout, 'frames'> & { before: number } {
  const packet = page.subarray(27 + (page[26] as number));
  const name = packet.toString('latin1', 0, 8);
  if (!((page[5] as number) & 2)) throw broken('its beginning is missing');
  if (name.startsWith('\x01vorbis') && packet.length >= 30) {
    return { coding: 'vorbis', channels: packet[11] as number, rate: packet.readUInt32LE(12), gain: 1, before: 0 };
  }
  if (name === 'OpusHead' && packet.length >= 19) {
    if ((packet[8] as number) > 15) throw broken('it is of a later version of Opus than is known');
    const gain = 10 ** (packet.readInt16LE(16) / 256 / 20);
    // Whatever it was made from, Opus is decoded at this rate.
    return { coding: 'opus', channels: packet[9] as number, rate: 48_000, gain, before: packet.readUInt16LE(10) };
  }
  if (/theora|dirac/i.test(name)) {
    throw new SoundError('not-sound', `This Ogg file is video. Export its sound by itself.`);
  }
  throw new SoundError('unsupported', `This Ogg file is neither Vorbis nor Opus, which are read. ${again}`);
}

const crc32 = Uint32Array.from({ length: 256 }, (_, byte) => {
  let crc = byte << 24;
  for (let i = 0; i < 8; i += 1) crc = crc < 0 ? (crc << 1) ^ 0x04c11db7 : crc << 1;
  return crc >>> 0;
});

/** Vorbis and Opus have the centre second and effects last; here as in WAV files (Vorbis I 4.3.9). */
const orders: Record<number, number[]> = { 3: [0, 2, 1], 5: [0, 2, 1, 3, 4], 6: [0, 2, 1, 5, 3, 4] };

const pieceBytes = 16 * 1024;

export async function* decodeOgg(file: ByteFile, layout: OggLayout): AsyncGenerator<Float32Array[]> {
  const decoder = new Decoder(layout.coding);
  try {
    let [place, left] = [0, layout.frames];
    for (let isEnd = false; !isEnd; ) {
      const bytes = await file.read(place, pieceBytes);
      isEnd = bytes.length === 0;
      const { pieces, failed } = isEnd ? await decoder.flush() : await decoder.decode([bytes]);
      if (failed || pieces.some((piece) => piece.length !== layout.channels)) {
        throw broken(`the decoder could not go on, after byte ${place}`);
      }
      place += bytes.length;
      for (const given of pieces) {
        // The last page says where the sound ends; what the decoder gives beyond it only fills up its last frame.
        const taken = Math.min(left, given[0]?.length ?? 0);
        left -= taken;
        const piece = given.map((channel) => channel.subarray(0, taken));
        if (layout.gain !== 1) for (const channel of piece) multiply(channel, layout.gain);
        const order = orders[layout.channels];
        yield order ? order.map((from) => piece[from] as Float32Array) : piece;
      }
    }
  } finally {
    await decoder.close();
  }
}

function multiply(channel: Float32Array, by: number): void {
  for (let i = 0; i < channel.length; i += 1) channel[i] = (channel[i] as number) * by;
}
