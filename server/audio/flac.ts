import { createHash } from 'node:crypto';
import type { ByteFile } from './byte-file';
import { ByteWindow } from './byte-window';
import { Decoder } from './decoder';
import { SoundError } from './sound-error';
import { checkShape, type SoundLimits } from './sound-limits';

// RFC 9639 (2024), Free Lossless Audio Codec.

export interface FlacLayout {
  rate: number;
  channels: number;
  bits: number;
  /** Null when the encoder did not know yet. */
  frames: number | null;
  /** Of the samples; null when the encoder left it out. */
  md5: string | null;
  /** Where the first frame begins. */
  offset: number;
}

/** A frame of FLAC, which has as many samples as the encoder liked. */
interface FrameHead {
  samples: number;
  /** Counts frames, or samples where frames differ in length. */
  number: number;
  variable: boolean;
  length: number;
}

const again = 'Export it again as FLAC, or as WAV.';
const broken = (what: string): SoundError =>
  new SoundError('broken', `This FLAC file can’t be read: ${what}. ${again}`);
const damaged = (place: number): SoundError =>
  new SoundError(
    'checksum',
    `This FLAC file is damaged: its checksum doesn’t fit what stands at byte ${place}. Copy it again, or export it again.`,
  );

/** `start` is where `fLaC` stands: some programs put a tag before it. */
export async function readFlac(file: ByteFile, start: number, limits: SoundLimits): Promise<FlacLayout> {
  const head = await file.read(start, 42);
  if (head.length < 42) throw new SoundError('truncated', `This FLAC file breaks off in its header. ${again}`);
  if (((head[4] as number) & 127) !== 0 || head.readUIntBE(5, 3) !== 34)
    throw broken('it doesn’t begin with its header');
  const rate = head.readUIntBE(18, 3) >> 4;
  const channels = (((head[20] as number) >> 1) & 7) + 1;
  const bits = ((((head[20] as number) & 1) << 4) | ((head[21] as number) >> 4)) + 1;
  const total = ((head[21] as number) & 15) * 2 ** 32 + head.readUInt32BE(22);
  const frames = total === 0 ? null : total;
  checkShape({ rate, channels, frames }, limits);
  if (bits > 24) {
    throw new SoundError(
      'unsupported',
      `This FLAC file has ${bits} bits a sample; up to 24 are read. Export it with 24.`,
    );
  }
  const md5 = head.toString('hex', 26, 42);
  let offset = start + 42;
  for (let last = (head[4] as number) >= 128; !last; ) {
    const block = await file.read(offset, 4);
    if (block.length < 4)
      throw new SoundError('truncated', `This FLAC file breaks off before its first sample. ${again}`);
    const type = (block[0] as number) & 127;
    if (type === 0 || type === 127) throw broken(`the part at byte ${offset} is of no known kind`);
    last = (block[0] as number) >= 128;
    offset += 4 + block.readUIntBE(1, 3);
  }
  if (offset >= file.size)
    throw new SoundError('truncated', `This FLAC file breaks off before its first sample. ${again}`);
  return { rate, channels, bits, frames, md5: /^0+$/.test(md5) ? null : md5, offset };
}

const batchBytes = 64 * 1024;

export async function* decodeFlac(file: ByteFile, layout: FlacLayout): AsyncGenerator<Float32Array[]> {
  const decoder = new Decoder('flac');
  const md5 = createHash('md5');
  try {
    let batch: Uint8Array[] = [];
    let [bytes, samples, place] = [0, 0, layout.offset];
    const decode = async function* (): AsyncGenerator<Float32Array[]> {
      const { pieces, failed } = await decoder.decode(batch);
      const count = pieces.reduce((sum, piece) => sum + (piece[0]?.length ?? 0), 0);
      if (failed || count !== samples || pieces.some((piece) => piece.length !== layout.channels)) throw damaged(place);
      for (const piece of pieces) {
        const bytes = asWritten(piece, layout.bits);
        if (layout.md5) md5.update(bytes);
        yield piece;
      }
    };
    for await (const frame of framesOf(file, layout)) {
      batch.push(frame.bytes);
      bytes += frame.bytes.length;
      samples += frame.samples;
      if (bytes < batchBytes) continue;
      yield* decode();
      place += bytes;
      [batch, bytes, samples] = [[], 0, 0];
    }
    if (batch.length > 0) yield* decode();
    if (layout.md5 && md5.digest('hex') !== layout.md5) {
      throw new SoundError(
        'checksum',
        'This FLAC file is damaged: its samples don’t fit the checksum (MD5) in its header. Copy it again, or export it again.',
      );
    }
  } finally {
    await decoder.close();
  }
}

/**
 * The samples as the checksum of the header takes them: whole numbers, channel by channel, low byte first. On the way
 * they are brought to the scale of all files here: the decoder divides by the largest number and not by the one after
 * it, which would make a FLAC file 0.0003 dB louder than the WAV file of the same 16 bits.
 */
function asWritten(piece: Float32Array[], bits: number): Buffer {
  const width = Math.ceil(bits / 8);
  const count = piece[0]?.length ?? 0;
  const bytes = Buffer.allocUnsafe(count * piece.length * width);
  const full = 2 ** (bits - 1);
  for (const [index, channel] of piece.entries()) {
    let place = index * width;
    for (let i = 0; i < count; i += 1, place += (piece.length - 1) * width) {
      let value = Math.round((channel[i] as number) * (full - 1));
      channel[i] = value / full;
      for (let byte = 0; byte < width; byte += 1, place += 1, value >>= 8) bytes[place] = value & 255;
    }
  }
  return bytes;
}

/** Cuts the file into its frames; each is held against its own checksum and follows the one before. */
async function* framesOf(file: ByteFile, layout: FlacLayout): AsyncGenerator<{ bytes: Uint8Array; samples: number }> {
  const window = new ByteWindow(file, layout.offset);
  let expected: number | null = null;
  let variable: boolean | null = null;
  let total = 0;
  while (window.left > 0) {
    const head = headAt(await window.peek(16), 0, layout);
    if (!head) throw total === layout.frames ? trailing(window.position) : damaged(window.position);
    if (variable !== null && (head.variable !== variable || head.number !== expected)) throw damaged(window.position);
    if (variable === null && head.number !== 0) {
      throw broken('its first frame isn’t the first: it was cut out of a longer file');
    }
    variable = head.variable;
    expected = head.variable ? head.number + head.samples : head.number + 1;
    // Longer than samples that are not compressed at all is no frame.
    const most = 64 + layout.channels * (Math.ceil((head.samples * (layout.bits + 1)) / 8) + 8);
    const bytes = await window.peek(most + 16);
    const length = lengthOf(bytes, head, expected, layout, bytes.length === window.left);
    if (length === 'damaged' || (length === null && window.left > most)) throw damaged(window.position);
    if (length === null) {
      throw total + head.samples === layout.frames
        ? new SoundError(
            'checksum',
            `This FLAC file is damaged, or something stands after its end: its last frame, at byte ${window.position}, doesn’t fit its checksum. Copy it again, or export it again.`,
          )
        : new SoundError(
            'truncated',
            `This FLAC file breaks off in the midst of a frame, at byte ${window.position}. Copy it again, or export it again.`,
          );
    }
    total += head.samples;
    yield { bytes: Uint8Array.prototype.slice.call(bytes, 0, length), samples: head.samples };
    window.advance(length);
  }
  if (layout.frames !== null && total > layout.frames) throw trailing(file.size);
}

const trailing = (place: number): SoundError =>
  new SoundError(
    'trailing',
    `After the end of this FLAC file, at byte ${place}, comes something that doesn’t belong to it. ${again}`,
  );

/**
 * How long the frame at the start of these bytes is: up to where the next begins, or to the end of the file. Damaged when
 * the next is there and the checksum before it doesn't fit; null when there is no next.
 */
function lengthOf(
  bytes: Buffer,
  head: FrameHead,
  expected: number,
  layout: FlacLayout,
  isEnd: boolean,
): number | 'damaged' | null {
  let [crc, summed] = [0, 0];
  const fits = (length: number): boolean => {
    for (; summed < length; summed += 1) {
      crc = ((crc << 8) & 0xffff) ^ (crc16[(crc >> 8) ^ (bytes[summed] as number)] as number);
    }
    return crc === 0;
  };
  let isFollowed = false;
  for (let at = bytes.indexOf(0xff, head.length); at >= 0; at = bytes.indexOf(0xff, at + 1)) {
    const next = headAt(bytes, at, layout);
    if (next?.variable !== head.variable || next.number !== expected) continue;
    if (fits(at)) return at;
    isFollowed = true;
  }
  if (isEnd && fits(bytes.length)) return bytes.length;
  return isFollowed ? 'damaged' : null;
}

const rates = [0, 88_200, 176_400, 192_000, 8000, 16_000, 22_050, 24_000, 32_000, 44_100, 48_000, 96_000];
const widths = [0, 8, 12, 0, 16, 20, 24, 32];

/** The header of a frame if there is one here that fits the file's. */
function headAt(bytes: Buffer, at: number, layout: FlacLayout): FrameHead | null {
  const [a, b, c, d] = [bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]];
  if (a !== 0xff || (b !== 0xf8 && b !== 0xf9) || c === undefined || d === undefined) return null;
  const [size, rateCode, channelCode] = [c >> 4, c & 15, d >> 4];
  if (size === 0 || rateCode === 15 || channelCode > 10 || (d & 1) !== 0) return null;
  if ((channelCode < 8 ? channelCode + 1 : 2) !== layout.channels) return null;
  const width = (d >> 1) & 7;
  if (width === 3 || (width !== 0 && widths[width] !== layout.bits)) return null;
  const counted = numberAt(bytes, at + 4);
  if (!counted) return null;
  let place = counted.end;
  let samples = size === 1 ? 192 : size < 6 ? 576 << (size - 2) : 256 << (size - 8);
  if (size === 6) samples = (bytes[place++] ?? 0) + 1;
  if (size === 7) {
    samples = (bytes[place] ?? 0) * 256 + (bytes[place + 1] ?? 0) + 1;
    place += 2;
  }
  let rate = rateCode === 0 ? layout.rate : rates[rateCode];
  if (rateCode === 12) rate = (bytes[place++] ?? 0) * 1000;
  if (rateCode > 12) {
    rate = ((bytes[place] ?? 0) * 256 + (bytes[place + 1] ?? 0)) * (rateCode === 14 ? 10 : 1);
    place += 2;
  }
  if (place >= bytes.length || rate !== layout.rate) return null;
  let crc = 0;
  for (let i = at; i <= place; i += 1) crc = crc8[crc ^ (bytes[i] as number)] as number;
  if (crc !== 0) return null;
  return { samples, number: counted.value, variable: b === 0xf9, length: place + 1 - at };
}

/** A number written as UTF-8 writes characters, here with up to seven bytes. */
function numberAt(bytes: Buffer, at: number): { value: number; end: number } | null {
  const first = bytes[at];
  if (first === undefined || first === 0xff || (first & 0xc0) === 0x80) return null;
  if (first < 0x80) return { value: first, end: at + 1 };
  const more = Math.clz32(~(first << 24)) - 1;
  let value = more === 6 ? 0 : first & (0x3f >> more);
  for (let i = 1; i <= more; i += 1) {
    const byte = bytes[at + i];
    if (byte === undefined || (byte & 0xc0) !== 0x80) return null;
    value = value * 64 + (byte & 0x3f);
  }
  return { value, end: at + 1 + more };
}

const crc8 = table(0x07, 8);
const crc16 = table(0x8005, 16);

function table(polynomial: number, bits: number): Uint16Array {
  const top = 1 << (bits - 1);
  return Uint16Array.from({ length: 256 }, (_, byte) => {
    let crc = byte << (bits - 8);
    for (let i = 0; i < 8; i += 1) crc = crc & top ? (crc << 1) ^ polynomial : crc << 1;
    return crc & (2 * top - 1);
  });
}
