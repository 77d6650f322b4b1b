import type { ByteFile } from './byte-file';
import { ByteWindow } from './byte-window';
import { Decoder } from './decoder';
import { SoundError } from './sound-error';
import { checkFrames, checkShape, type SoundLimits } from './sound-limits';

// Frames: ISO/IEC 11172-3 (1993) 2.4.2.3 and 13818-3 (1998). The first frame's note on delay and padding, tags: as
// common practice of encoders has them; values from memory and held against real encoders in the tests.

export interface Mp3Layout {
  rate: number;
  channels: number;
  /** Samples a channel, without what the encoder put before and after where it says so. */
  frames: number;
  /** From the first frame with sound to the end of the last. */
  start: number;
  end: number;
  /** Samples that the decoder gives before the first. */
  skip: number;
}

interface FrameHead {
  rate: number;
  channels: number;
  /** Samples a channel. */
  samples: number;
  bytes: number;
  /** From the start of the frame to what follows the side information. */
  note: number;
}

/** What every decoder of this coding is behind, in samples. */
const decoderDelay = 529;

const again = 'Export it again as MP3, or as WAV.';
const kilobits = {
  1: [0, 32, 40, 48, 56, 64, 80, 96, 112, 128, 160, 192, 224, 256, 320],
  2: [0, 8, 16, 24, 32, 40, 48, 56, 64, 80, 96, 112, 128, 144, 160],
};
const rates = [44_100, 48_000, 32_000];

/** Walks from frame to frame through the whole file: every byte must belong to a frame or to a tag. */
export async function readMp3(file: ByteFile, start: number, limits: SoundLimits): Promise<Mp3Layout> {
  const window = new ByteWindow(file, start);
  await skipZeros(window);
  const first = headOf(await window.peek(4));
  if (!first) {
    throw new SoundError('not-sound', 'This file begins like an MP3 and is none. Export it as WAV, FLAC, MP3 or Ogg.');
  }
  const { rate, channels, samples } = first;
  checkShape({ rate, channels, frames: null }, limits);
  const note = noteOf(await window.peek(first.bytes), first);
  let frames = 0;
  let soundStart = window.position;
  let end = soundStart;
  for (;;) {
    const head = headOf(await window.peek(4));
    if (!head) break;
    if (head.rate !== rate || head.channels !== channels) {
      if (frames < 3) break;
      throw broken('its rate or channels change', window.position, (frames * samples) / rate);
    }
    if (head.bytes > window.left) {
      throw new SoundError(
        'truncated',
        `This MP3 file breaks off in the midst of a frame, at byte ${window.position}. Copy it again, or export it again.`,
      );
    }
    window.advance(head.bytes);
    end = window.position;
    if (note && frames === 0 && soundStart !== end && !note.passed) {
      note.passed = true;
      soundStart = end;
      continue;
    }
    frames += 1;
    checkFramesSoFar(frames * samples, rate, limits);
  }
  await skipTags(window);
  if (window.left > 0) {
    if (frames < 3 && !note) {
      throw new SoundError(
        'not-sound',
        'This file begins like an MP3 and is none. Export it as WAV, FLAC, MP3 or Ogg.',
      );
    }
    throw broken('something that is no sound stands in it', window.position, (frames * samples) / rate);
  }
  const counted = note?.frames ?? null;
  if (counted !== null && counted !== frames && counted !== frames + 1) {
    throw new SoundError(
      counted > frames ? 'truncated' : 'trailing',
      `This MP3 file says that it has ${counted} frames, and there are ${frames}. It was probably ${counted > frames ? 'broken off' : 'joined with another'}. ${again}`,
    );
  }
  const given = frames * samples;
  const skip = note?.padding ? note.padding.before + decoderDelay : 0;
  const whole = note?.padding ? given - note.padding.before - note.padding.after : given;
  // The last few are lost in the decoder where the encoder left less room than it takes.
  const layout = { rate, channels, frames: Math.max(0, Math.min(whole, given - skip)), start: soundStart, end, skip };
  checkFrames(layout.frames, rate, limits);
  return layout;
}

const broken = (what: string, place: number, seconds: number): SoundError =>
  new SoundError(
    'broken',
    `This MP3 file can’t be read: ${what}, at byte ${place}, after ${seconds.toFixed(2)} s. Copy it again, or export it again.`,
  );

function checkFramesSoFar(samples: number, rate: number, limits: SoundLimits): void {
  // With a second to spare for what stands before and after the sound.
  if (samples > (limits.seconds + 1) * rate) checkFrames(samples, rate, limits);
}

function headOf(bytes: Buffer): FrameHead | null {
  if (bytes.length < 4) return null;
  const word = bytes.readUInt32BE(0);
  if (word >>> 21 !== 0x7ff) return null;
  const [version, layer] = [(word >> 19) & 3, (word >> 17) & 3];
  const [bitrate, rateCode] = [(word >> 12) & 15, (word >> 10) & 3];
  if (version === 1 || bitrate === 15 || rateCode === 3 || (word & 3) === 2) return null;
  if (layer !== 1) {
    if (layer === 0) return null;
    throw new SoundError(
      'unsupported',
      `This file is MPEG sound of layer ${layer === 2 ? 'II' : 'I'}, not MP3. ${again}`,
    );
  }
  if (bitrate === 0) {
    throw new SoundError('unsupported', `This MP3 file is of the free format, which isn’t read. ${again}`);
  }
  const full = version === 3;
  const rate = (rates[rateCode] as number) / (full ? 1 : version === 2 ? 2 : 4);
  const channels = (word >> 6) & 3 ? (((word >> 6) & 3) === 3 ? 1 : 2) : 2;
  const rateKilobits = kilobits[full ? 1 : 2][bitrate] as number;
  const bytesOf = Math.floor(((full ? 144 : 72) * rateKilobits * 1000) / rate) + ((word >> 9) & 1);
  const side = full ? (channels === 1 ? 17 : 32) : channels === 1 ? 9 : 17;
  return { rate, channels, samples: full ? 1152 : 576, bytes: bytesOf, note: 4 + side };
}

interface Note {
  frames: number | null;
  padding: { before: number; after: number } | null;
  passed: boolean;
}

/** The first frame may have no sound but a note: how many frames there are, and what was put before and after. */
function noteOf(frame: Buffer, head: FrameHead): Note | null {
  const at = head.note;
  if (frame.length < head.bytes) return null;
  if (frame.toString('latin1', 36, 40) === 'VBRI') {
    return { frames: frame.length >= 54 ? frame.readUInt32BE(50) : null, padding: null, passed: false };
  }
  if (!['Xing', 'Info'].includes(frame.toString('latin1', at, at + 4)) || frame.length < at + 8) return null;
  const flags = frame.readUInt32BE(at + 4);
  let place = at + 8;
  const frames = flags & 1 && frame.length >= place + 4 ? frame.readUInt32BE(place) : null;
  place += (flags & 1 ? 4 : 0) + (flags & 2 ? 4 : 0) + (flags & 4 ? 100 : 0) + (flags & 8 ? 4 : 0);
  let padding: Note['padding'] = null;
  if (frame.length >= place + 24 && /^[A-Za-z]/.test(frame.toString('latin1', place, place + 4))) {
    const both = frame.readUIntBE(place + 21, 3);
    padding = { before: both >> 12, after: both & 0xfff };
  }
  return { frames, padding, passed: false };
}

/** How long the tags before the sound are. Several may stand one after the other. */
export async function lengthOfTags(file: ByteFile): Promise<number> {
  let place = 0;
  for (;;) {
    const head = await file.read(place, 10);
    if (head.length < 10 || head.toString('latin1', 0, 3) !== 'ID3') return place;
    const size = head.subarray(6, 10);
    if (size.some((byte) => byte > 127)) {
      throw new SoundError(
        'broken',
        `The tag at byte ${place} of this file can’t be read. Export it again without tags.`,
      );
    }
    const length = size.reduce((sum, byte) => sum * 128 + byte, 0);
    place += 10 + length + ((head[5] as number) & 16 ? 10 : 0);
    if (place >= file.size) {
      throw new SoundError(
        'truncated',
        'This file breaks off in its tags, before any sound. Copy it again, or export it again.',
      );
    }
  }
}

/** After the last frame tags may follow, which are no sound. */
async function skipTags(window: ByteWindow): Promise<void> {
  for (;;) {
    await skipZeros(window);
    const bytes = await window.peek(128);
    const text = bytes.toString('latin1');
    if (text.startsWith('TAG') && bytes.length === 128) window.advance(128);
    else if (text.startsWith('APETAGEX') && bytes.length >= 32) {
      const [size, flags] = [bytes.readUInt32LE(12), bytes.readUInt32LE(20)];
      // The size leaves out the head but not the foot; without a head there is nothing to begin with.
      if (!(flags & 0x20000000) || size + 32 > window.left) return;
      window.advance(size + 32);
    } else if (text.startsWith('LYRICSBEGIN')) {
      const all = (await window.peek(16_384)).toString('latin1');
      const end = /LYRICS200|LYRICSEND/.exec(all);
      if (!end) return;
      window.advance(end.index + 9);
    } else return;
  }
}

async function skipZeros(window: ByteWindow): Promise<void> {
  for (;;) {
    const bytes = await window.peek(4096);
    const sound = bytes.findIndex((byte) => byte !== 0);
    window.advance(sound < 0 ? bytes.length : sound);
    if (sound >= 0 || bytes.length === 0) return;
  }
}

const pieceBytes = 32 * 1024;

export async function* decodeMp3(file: ByteFile, layout: Mp3Layout): AsyncGenerator<Float32Array[]> {
  const decoder = new Decoder('mp3');
  try {
    let skip = layout.skip;
    let left = layout.frames;
    for (let place = layout.start; place < layout.end && left > 0; ) {
      const bytes = await file.read(place, Math.min(pieceBytes, layout.end - place));
      if (bytes.length === 0) break;
      const { pieces, failed } = await decoder.decode([bytes]);
      if (failed) {
        const seconds = (layout.frames - left) / layout.rate;
        throw broken('the decoder could not go on', place, seconds);
      }
      for (const piece of pieces) {
        const there = piece[0]?.length ?? 0;
        const passed = Math.min(skip, there);
        const taken = Math.min(left, there - passed);
        skip -= passed;
        left -= taken;
        // The decoder plays a mono file on both sides.
        if (taken > 0) yield piece.slice(0, layout.channels).map((channel) => channel.subarray(passed, passed + taken));
      }
      place += bytes.length;
    }
  } finally {
    await decoder.close();
  }
}
