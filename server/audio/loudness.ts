import { GatedLoudness, momentarySteps, shortTermSteps } from './gated-loudness';
import type { Pcm, PcmStream } from './pcm';
import { SoundError } from './sound-error';
import { PeakMeter } from './true-peak';

export { bandLevel } from './band-level';

/** What the meter says of a whole sound. Null where there is no such figure; `reason` then says why. */
export interface Loudness {
  seconds: number;
  /** LUFS, gated: the loudness of the whole. */
  integrated: number | null;
  /** LUFS, the highest of 0.4 s. */
  momentaryMax: number | null;
  /** LUFS, the highest of 3 s. */
  shortTermMax: number | null;
  /** dBFS: a sample of ±1 is 0. */
  samplePeak: number | null;
  /** dBTP: the highest point of the curve through the samples. */
  truePeak: number | null;
  reason?: string;
}

/**
 * How much a channel counts, by how many there are (BS.1770-5, Annex 1, table 3): 1, surrounds 1.41, low-frequency effects
 * not at all. One channel is played by both ears, so it counts as two: a file measures as its own copy in stereo does.
 */
const surround = 1.41;
export const channelWeights: ReadonlyArray<readonly number[]> = [
  [],
  [2],
  [1, 1],
  [1, 1, 1],
  [1, 1, surround, surround],
  [1, 1, 1, surround, surround],
  [1, 1, 1, 0, surround, surround],
];
const mostChannels = channelWeights.length - 1;

const decibels = (amplitude: number): number | null => (amplitude > 0 ? 20 * Math.log10(amplitude) : null);

/**
 * A loudness and peak meter by ITU-R BS.1770-5 (2023), fed piece by piece. Channels: one (played by both ears), two, or up to
 * 5.1 in the order left, right, centre, low-frequency effects, surrounds; with four and five there are no effects, with three
 * no surrounds.
 *
 * Throws SoundError: `no-channels`, `too-many-channels` above six, `rate` outside 8 kHz … 1536 kHz, and from `push` `broken`
 * when a piece has other channels or channels of different lengths, and `not-numbers` at a sample that is none.
 */
export class LoudnessMeter {
  private readonly loudness: GatedLoudness;
  private readonly peaks: PeakMeter[];

  constructor(
    private readonly rate: number,
    channels: number,
  ) {
    if (channels === 0) {
      throw new SoundError('no-channels', 'This sound has 0 channels. Export it again as stereo or mono.');
    }
    const known = channelWeights[channels];
    if (known === undefined) {
      throw new SoundError(
        'too-many-channels',
        `This sound has ${channels} channels; loudness is measured of up to ${mostChannels}. Export it as stereo or mono.`,
      );
    }
    this.loudness = new GatedLoudness(rate, known);
    this.peaks = known.map(() => new PeakMeter());
  }

  push(block: Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    if (block.length !== this.peaks.length || block.some((channel) => channel.length !== length)) {
      throw new SoundError('broken', 'The channels of this sound are not of one length. Export it again.');
    }
    this.loudness.push(block, (channel, frame) => {
      const at = (frame / this.rate).toFixed(3);
      throw new SoundError(
        'not-numbers',
        `This sound has a sample that is no number (NaN or infinite), at ${at} s in channel ${channel + 1}. Find the effect that makes it, and export it again.`,
      );
    });
    for (let c = 0; c < block.length; c++) (this.peaks[c] as PeakMeter).push(block[c] as Float32Array);
  }

  /** What was pushed so far, as if the sound ended here. Blocks that aren't whole at the end are left out. */
  result(): Loudness {
    const { frames, integrated, momentaryMax, shortTermMax } = this.loudness;
    const seconds = frames / this.rate;
    const samplePeak = decibels(Math.max(...this.peaks.map((peak) => peak.samplePeak)));
    const truePeak = decibels(Math.max(...this.peaks.map((peak) => peak.truePeak)));
    const reason = this.reason(samplePeak === null, integrated === null);
    const figures = { seconds, integrated, momentaryMax, shortTermMax, samplePeak, truePeak };
    return reason === '' ? figures : { ...figures, reason };
  }

  private reason(silent: boolean, quiet: boolean): string {
    const { steps } = this.loudness;
    if (steps < momentarySteps) return 'Too short: loudness needs 0.4 s of sound.';
    const reasons: string[] = [];
    if (silent) reasons.push('Too quiet: all of it is digital silence.');
    else if (quiet) reasons.push('Too quiet: nothing in it is above −70 LUFS.');
    if (steps < shortTermSteps) reasons.push('Too short for short-term loudness, which needs 3 s.');
    return reasons.join(' ');
  }
}

/** The loudness of a sound that lies in memory. */
export function measure(pcm: Pcm): Loudness {
  const meter = new LoudnessMeter(pcm.rate, pcm.channels.length);
  meter.push(pcm.channels);
  return meter.result();
}

/** The loudness of a sound that is read once, from its beginning to its end. */
export async function measureStream(stream: PcmStream): Promise<Loudness> {
  const meter = new LoudnessMeter(stream.rate, stream.channels);
  for await (const block of stream.blocks) meter.push(block);
  return meter.result();
}
