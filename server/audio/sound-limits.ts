import { SoundError } from './sound-error';

/** What is taken. Whatever a file declares is held against this before any of it is decoded. */
export interface SoundLimits {
  bytes: number;
  seconds: number;
  channels: number;
  rate: { least: number; most: number };
  /** Whether a file that is silent all through is taken. */
  silence: 'refused' | 'taken';
}

export const usualLimits: SoundLimits = {
  bytes: 100_000_000,
  seconds: 20 * 60,
  channels: 2,
  rate: { least: 8000, most: 192_000 },
  silence: 'refused',
};

/** Peaks below this, −80 dBFS, are no programme: a few steps of 16 bits, which is what dither alone comes to. */
export const silencePeak = 1e-4;

export function checkBytes(bytes: number, limits: SoundLimits): void {
  if (bytes === 0) throw new SoundError('empty', 'This file is empty. Export it again and choose it anew.');
  if (bytes > limits.bytes) throw new SoundError('too-large', tooLarge(limits.bytes));
}

export const tooLarge = (most: number): string =>
  `This file is larger than ${megabytes(most)}, which is the most that is taken. Cut it to the part that is played, or export it as FLAC.`;

/** What the header says, before any sample is decoded. */
export function checkShape(
  { rate, channels, frames }: { rate: number; channels: number; frames: number | null },
  limits: SoundLimits,
): void {
  if (channels === 0) {
    throw new SoundError(
      'no-channels',
      'The header of this file says that it has 0 channels, so there is nothing to play. Export it again as stereo or mono.',
    );
  }
  if (channels > limits.channels) {
    throw new SoundError(
      'too-many-channels',
      limits.channels === 2
        ? `This file has ${channels} channels. Export it as stereo or mono.`
        : `This file has ${channels} channels; at most ${limits.channels} are read. Export it with fewer.`,
    );
  }
  const { least, most } = limits.rate;
  if (!(rate >= least && rate <= most)) {
    throw new SoundError(
      'rate',
      `This file has ${rate} samples a second; ${least} to ${most} are taken. Export it at 44100 or 48000.`,
    );
  }
  if (frames !== null) checkFrames(frames, rate, limits);
}

export function checkFrames(frames: number, rate: number, limits: SoundLimits): void {
  if (frames === 0) {
    throw new SoundError('empty', 'This file has a header but no sound in it. Export it again and listen to it first.');
  }
  if (frames > limits.seconds * rate) {
    throw new SoundError(
      'too-long',
      `This file is ${minutes(frames / rate)} long; at most ${minutes(limits.seconds)} are taken. Cut it to the part that is played.`,
    );
  }
}

const megabytes = (bytes: number): string => `${Math.floor(bytes / 1e6)} MB`;

function minutes(seconds: number): string {
  if (seconds < 60) return `${Math.ceil(seconds * 10) / 10} s`;
  const whole = Math.ceil(seconds);
  return whole % 60 === 0 ? `${whole / 60} minutes` : `${Math.floor(whole / 60)} minutes ${whole % 60} s`;
}
