import type { ByteFile } from './byte-file';
import { SoundError } from './sound-error';
import { checkShape, type SoundLimits } from './sound-limits';

// RIFF/WAVE: Microsoft and IBM, Multimedia Programming Interface and Data Specifications 1.0 (1991); the extensible
// form: Microsoft, "Multiple channel audio data and WAVE files" (2007); RF64: EBU Tech 3306 (2009), BW64: ITU-R BS.2088.

type Coding = 'u8' | 's16' | 's24' | 's32' | 'f32' | 'f64';

export interface WavLayout {
  rate: number;
  channels: number;
  frames: number;
  coding: Coding;
  /** Where the samples begin. */
  offset: number;
}

const bytesOf: Record<Coding, number> = { u8: 1, s16: 2, s24: 3, s32: 4, f32: 4, f64: 8 };
const mostChunks = 1000;
const unset = 0xffffffff;
// {…-0000-0010-8000-00AA00389B71}: whatever has a format number of its own as an extensible form.
const guidTail = Buffer.from('000000001000800000aa00389b71', 'hex');
const again = 'Export it again as WAV from the program it was made with.';
const codings = 'whole numbers of 8, 16, 24 or 32 bits, or floating point of 32 or 64';

/** Reads the chunks and holds what they say against each other and against the size of the file. */
export async function readWav(file: ByteFile, limits: SoundLimits): Promise<WavLayout> {
  const head = await file.read(0, 12);
  const id = head.toString('latin1', 0, 4);
  if (id === 'RIFX') {
    throw new SoundError('unsupported', `This is a WAV file with its bytes turned round (RIFX). ${again}`);
  }
  const large = id !== 'RIFF';
  let format: Omit<WavLayout, 'frames' | 'offset'> | null = null;
  let data: { offset: number; size: number } | null = null;
  let long: { riff: number; data: number } | null = null;
  let end = 8 + head.readUInt32LE(4);
  let place = 12;
  if (!large) checkEnd(end, file.size);
  for (let count = 0; place < file.size; count += 1) {
    if (count === mostChunks)
      throw new SoundError('broken', `This WAV file has more than ${mostChunks} parts. ${again}`);
    const chunk = await file.read(place, 8);
    if (chunk.length < 8) {
      // Some programs pad the whole file by a byte.
      if (data && chunk.length === 1 && chunk[0] === 0) break;
      throw data ? trailing(place) : broken(`its list of parts ends in the midst of one, at byte ${place}`);
    }
    const name = chunk.toString('latin1', 0, 4);
    let size = chunk.readUInt32LE(4);
    const start = place + 8;
    if (!/^[ -~]{4}$/.test(name)) throw data ? trailing(place) : broken(`the part at byte ${place} has no name`);
    if (name === 'data' && large && size === unset && long) size = long.data;
    if (start + size > file.size) throw name === 'data' ? shortOfData(size, file.size - start) : cutOff(name, place);
    if (name === 'ds64' && large && place === 12) {
      if (size < 24) throw broken('its ds64 part is too short');
      const sizes = await file.read(start, 16);
      long = { riff: whole(sizes.readBigUInt64LE(0)), data: whole(sizes.readBigUInt64LE(8)) };
      end = 8 + long.riff;
      checkEnd(end, file.size);
    } else if (name === 'fmt ') {
      if (format) throw broken('it has two headers');
      format = readFormat(await file.read(start, Math.min(size, 40)), limits);
    } else if (name === 'data') {
      if (!format) throw broken('its samples come before its header');
      if (data) throw new SoundError('unsupported', `This WAV file has its samples in two parts. ${again}`);
      data = { offset: start, size };
    }
    // Chunks begin at even places; a file may end without the byte that fills up the last.
    place = start + size + (size % 2);
  }
  if (large && !long) throw broken('it says that it is longer than 4 GB and not how long');
  if (!format) throw broken('it has no header that says how the samples are written');
  if (!data) throw broken('it has a header but no samples');
  const frame = format.channels * bytesOf[format.coding];
  if (data.size % frame !== 0) {
    throw new SoundError(
      'truncated',
      `This WAV file ends in the midst of a sample: ${data.size} bytes are no whole number of ${frame}. It was probably broken off while it was written. ${again}`,
    );
  }
  const layout = { ...format, frames: data.size / frame, offset: data.offset };
  checkShape(layout, limits);
  return layout;
}

function checkEnd(end: number, size: number): void {
  if (end > size + 1) {
    throw new SoundError(
      'truncated',
      `This WAV file says that it has ${end} bytes, and there are ${size}. It was broken off, or written by a program that never filled in its length. ${again}`,
    );
  }
  if (end < size - 1) throw trailing(end);
}

function readFormat(bytes: Buffer, limits: SoundLimits): Omit<WavLayout, 'frames' | 'offset'> {
  if (bytes.length < 16) throw broken('its header is too short');
  let tag = bytes.readUInt16LE(0);
  const channels = bytes.readUInt16LE(2);
  const rate = bytes.readUInt32LE(4);
  const [bytesASecond, frame, bits] = [bytes.readUInt32LE(8), bytes.readUInt16LE(12), bytes.readUInt16LE(14)];
  checkShape({ rate, channels, frames: null }, limits);
  if (tag === 0xfffe) {
    if (bytes.length < 40) throw broken('its extended header is too short');
    const valid = bytes.readUInt16LE(18);
    if (valid > bits) throw broken(`its header says ${valid} bits in a room of ${bits}`);
    tag = bytes.subarray(26, 40).equals(guidTail) ? bytes.readUInt16LE(24) : -1;
  }
  const coding = codingOf(tag, bits);
  if (!coding) {
    const what = tag === 1 || tag === 3 ? `${bits} bits of a kind that isn’t read` : 'a compressed coding';
    throw new SoundError('unsupported', `This WAV file has ${what}. Export it with ${codings}.`);
  }
  if (frame !== channels * bytesOf[coding] || bytesASecond !== rate * frame) {
    throw broken('its header contradicts itself about channels, bits and samples a second');
  }
  return { rate, channels, coding };
}

function codingOf(tag: number, bits: number): Coding | undefined {
  if (tag === 1) return ({ 8: 'u8', 16: 's16', 24: 's24', 32: 's32' } as const)[bits];
  if (tag === 3) return ({ 32: 'f32', 64: 'f64' } as const)[bits];
  return undefined;
}

const broken = (what: string): SoundError => new SoundError('broken', `This WAV file can’t be read: ${what}. ${again}`);

const trailing = (place: number): SoundError =>
  new SoundError(
    'trailing',
    `After the end of this WAV file, at byte ${place}, comes something that doesn’t belong to it. ${again}`,
  );

const shortOfData = (promised: number, there: number): SoundError =>
  new SoundError(
    'truncated',
    `This WAV file says that it has ${promised} bytes of samples, and there are ${there}. It was broken off, or written by a program that never filled in its length. ${again}`,
  );

const cutOff = (name: string, place: number): SoundError =>
  new SoundError('truncated', `This WAV file breaks off within its part “${name.trim()}” at byte ${place}. ${again}`);

// A size of more than 2^53 is larger than any file, which is all that is asked of it.
const whole = (size: bigint): number => Number(size);

const framesAPiece = 16_384;

export async function* decodeWav(file: ByteFile, layout: WavLayout): AsyncGenerator<Float32Array[]> {
  const { channels, coding, frames, offset } = layout;
  const frame = channels * bytesOf[coding];
  for (let at = 0; at < frames; at += framesAPiece) {
    const count = Math.min(framesAPiece, frames - at);
    const bytes = await file.read(offset + at * frame, count * frame);
    if (bytes.length < count * frame) throw shortOfData(frames * frame, at * frame + bytes.length);
    yield spread(bytes, coding, channels, count);
  }
}

function spread(bytes: Buffer, coding: Coding, channels: number, count: number): Float32Array[] {
  const pieces = Array.from({ length: channels }, () => new Float32Array(count));
  const step = bytesOf[coding];
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  for (const [channel, piece] of pieces.entries()) {
    const stride = channels * step;
    let place = channel * step;
    for (let i = 0; i < count; i += 1, place += stride) piece[i] = sample(view, place, coding);
  }
  return pieces;
}

function sample(view: DataView, place: number, coding: Coding): number {
  switch (coding) {
    case 'u8':
      return (view.getUint8(place) - 128) / 128;
    case 's16':
      return view.getInt16(place, true) / 32_768;
    case 's24':
      return ((view.getInt8(place + 2) << 16) | view.getUint16(place, true)) / 8_388_608;
    case 's32':
      return view.getInt32(place, true) / 2_147_483_648;
    case 'f32':
      return view.getFloat32(place, true);
    case 'f64':
      return view.getFloat64(place, true);
  }
}
