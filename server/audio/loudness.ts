import { KFilter } from './k-weighting';
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

/** Momentary and short-term loudness move on by this; EBU Tech 3341 case 13 can't be met with steps above 20 ms. */
const stepsASecond = 100;
const momentarySteps = 40;
const shortTermSteps = 300;
/** Gating blocks overlap by 75 %: each begins 100 ms after the one before. */
const gatingSteps = momentarySteps / 4;

/** BS.1770-5, Annex 1: −0.691 makes 997 Hz at full scale in one channel read −3.01. */
const offset = -0.691;
const absoluteGate = -70;
const relativeGate = -10;

/**
 * How much a channel counts, by how many there are (BS.1770-5, Annex 1, table 3): 1, surrounds 1.41, low-frequency effects
 * not at all. One channel is played by both ears, so it counts as two: a file measures as its own copy in stereo does.
 */
const surround = 1.41;
const weights: ReadonlyArray<readonly number[]> = [
  [],
  [2],
  [1, 1],
  [1, 1, 1],
  [1, 1, surround, surround],
  [1, 1, 1, surround, surround],
  [1, 1, 1, 0, surround, surround],
];
const mostChannels = weights.length - 1;

const lufs = (power: number): number => offset + 10 * Math.log10(power);
const decibels = (amplitude: number): number | null => (amplitude > 0 ? 20 * Math.log10(amplitude) : null);

/**
 * A loudness and peak meter by ITU-R BS.1770-5 (2023) and EBU Tech 3341, fed piece by piece. It keeps one figure for each
 * 100 ms, never the sound. Channels: one (played by both ears), two, or up to 5.1 in the order left, right, centre,
 * low-frequency effects, surrounds; with four and five there are no effects, with three no surrounds.
 *
 * Throws SoundError: `no-channels`, `too-many-channels` above six, `rate` outside 8 kHz … 1536 kHz, and from `push` `broken`
 * when a piece has other channels or channels of different lengths, and `not-numbers` at a sample that is none.
 */
export class LoudnessMeter {
  private readonly filters: KFilter[];
  private readonly peaks: PeakMeter[];
  private readonly weights: readonly number[];

  private frames = 0;
  /** The step at hand: what it has so far, and the frame at which it ends. */
  private stepPower = 0;
  private stepStart = 0;
  private stepEnd = 0;
  /** Whole steps so far; the power and length of the last three seconds of them, in a ring. */
  private steps = 0;
  private readonly powers = new Float64Array(shortTermSteps);
  private readonly lengths = new Float64Array(shortTermSteps);

  private momentary = 0;
  private shortTerm = 0;
  private blocks = new Float64Array(1024);
  private blockCount = 0;

  constructor(
    private readonly rate: number,
    channels: number,
  ) {
    if (channels === 0) {
      throw new SoundError('no-channels', 'This sound has 0 channels. Export it again as stereo or mono.');
    }
    const known = weights[channels];
    if (known === undefined) {
      throw new SoundError(
        'too-many-channels',
        `This sound has ${channels} channels; loudness is measured of up to ${mostChannels}. Export it as stereo or mono.`,
      );
    }
    this.weights = known;
    this.filters = known.map(() => new KFilter(rate));
    this.peaks = known.map(() => new PeakMeter());
    this.stepEnd = this.endOf(0);
  }

  push(block: Float32Array[]): void {
    const length = block[0]?.length ?? 0;
    if (block.length !== this.weights.length || block.some((channel) => channel.length !== length)) {
      throw new SoundError('broken', 'The channels of this sound are not of one length. Export it again.');
    }
    let at = 0;
    while (at < length) {
      const to = Math.min(length, at + this.stepEnd - this.frames);
      for (let c = 0; c < block.length; c++) {
        const samples = block[c] as Float32Array;
        const energy = (this.filters[c] as KFilter).energy(samples, at, to);
        if (!Number.isFinite(energy)) throw notNumbers(samples, at, to, c, this.frames, this.rate);
        this.stepPower += (this.weights[c] as number) * energy;
      }
      this.frames += to - at;
      at = to;
      if (this.frames === this.stepEnd) this.endStep();
    }
    for (let c = 0; c < block.length; c++) (this.peaks[c] as PeakMeter).push(block[c] as Float32Array);
  }

  /** What was pushed so far, as if the sound ended here. Blocks that aren't whole at the end are left out. */
  result(): Loudness {
    const seconds = this.frames / this.rate;
    const samplePeak = decibels(Math.max(...this.peaks.map((peak) => peak.samplePeak)));
    const truePeak = decibels(Math.max(...this.peaks.map((peak) => peak.truePeak)));
    const integrated = this.integrated();
    const momentaryMax = this.momentary > 0 ? lufs(this.momentary) : null;
    const shortTermMax = this.shortTerm > 0 ? lufs(this.shortTerm) : null;
    const reasons: string[] = [];
    if (this.steps < momentarySteps) {
      reasons.push('Too short: loudness needs 0.4 s of sound.');
    } else {
      if (samplePeak === null) reasons.push('Too quiet: all of it is digital silence.');
      else if (integrated === null) reasons.push('Too quiet: nothing in it is above −70 LUFS.');
      if (this.steps < shortTermSteps) reasons.push('Too short for short-term loudness, which needs 3 s.');
    }
    const reason = reasons.join(' ');
    const figures = { seconds, integrated, momentaryMax, shortTermMax, samplePeak, truePeak };
    return reason === '' ? figures : { ...figures, reason };
  }

  /** The frame at which a step ends: steps differ by one frame where the rate isn't a multiple of 100 Hz. */
  private endOf(step: number): number {
    return Math.round(((step + 1) * this.rate) / stepsASecond);
  }

  private endStep(): void {
    const slot = this.steps % shortTermSteps;
    this.powers[slot] = this.stepPower;
    this.lengths[slot] = this.stepEnd - this.stepStart;
    this.steps += 1;
    this.stepPower = 0;
    this.stepStart = this.stepEnd;
    this.stepEnd = this.endOf(this.steps);
    if (this.steps >= momentarySteps) {
      const power = this.powerOf(momentarySteps);
      if (power > this.momentary) this.momentary = power;
      if (this.steps % gatingSteps === 0) this.keepBlock(power);
    }
    if (this.steps >= shortTermSteps) {
      const power = this.powerOf(shortTermSteps);
      if (power > this.shortTerm) this.shortTerm = power;
    }
  }

  /** The mean power of the last steps. */
  private powerOf(count: number): number {
    const { powers, lengths } = this;
    let power = 0;
    let length = 0;
    let slot = (this.steps + shortTermSteps - count) % shortTermSteps;
    for (let i = 0; i < count; i++) {
      power += powers[slot] as number;
      length += lengths[slot] as number;
      slot = slot + 1 === shortTermSteps ? 0 : slot + 1;
    }
    return power / length;
  }

  private keepBlock(power: number): void {
    if (this.blockCount === this.blocks.length) {
      const larger = new Float64Array(2 * this.blocks.length);
      larger.set(this.blocks);
      this.blocks = larger;
    }
    this.blocks[this.blockCount] = power;
    this.blockCount += 1;
  }

  /** BS.1770-5, Annex 1: the mean power of the blocks above −70, and of these of the blocks above their mean − 10. */
  private integrated(): number | null {
    const audible = this.meanAbove(absoluteGate);
    if (audible === null) return null;
    const counted = this.meanAbove(Math.max(absoluteGate, lufs(audible) + relativeGate));
    return counted === null ? null : lufs(counted);
  }

  private meanAbove(gate: number): number | null {
    const least = 10 ** ((gate - offset) / 10);
    let sum = 0;
    let count = 0;
    for (let i = 0; i < this.blockCount; i++) {
      const power = this.blocks[i] as number;
      if (power > least) {
        sum += power;
        count += 1;
      }
    }
    return count === 0 ? null : sum / count;
  }
}

function notNumbers(samples: Float32Array, from: number, to: number, channel: number, frame: number, rate: number) {
  const offset = samples.subarray(from, to).findIndex((sample) => !Number.isFinite(sample));
  const at = ((frame + Math.max(0, offset)) / rate).toFixed(3);
  return new SoundError(
    'not-numbers',
    `This sound has a sample that is no number (NaN or infinite), at ${at} s in channel ${channel + 1}. Find the effect that makes it, and export it again.`,
  );
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
