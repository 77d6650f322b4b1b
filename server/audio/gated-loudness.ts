import { KFilter } from './k-weighting';

/** Momentary and short-term loudness move on by 10 ms; EBU Tech 3341 case 13 can't be met with steps above 20 ms. */
const stepsASecond = 100;
/** 0.4 s and 3 s (EBU Tech 3341, 2.2). */
export const momentarySteps = 40;
export const shortTermSteps = 300;
/** Gating blocks are of 0.4 s and overlap by 75 %: each begins 100 ms after the one before. */
const gatingSteps = momentarySteps / 4;

/** BS.1770-5, Annex 1: −0.691 makes 997 Hz at full scale in one channel read −3.01. */
const offset = -0.691;
const absoluteGate = -70;
const relativeGate = -10;

const lufs = (power: number): number => offset + 10 * Math.log10(power);
const lufsOrNone = (power: number): number | null => (power > 0 ? lufs(power) : null);

/**
 * Loudness by ITU-R BS.1770-5 (2023) and EBU Tech 3341, fed piece by piece, in LUFS. It keeps one figure for each 100 ms,
 * never the sound. `weights` say how much each channel counts.
 */
export class GatedLoudness {
  private readonly filters: KFilter[];

  /** Samples a channel so far. */
  frames = 0;
  /** Whole steps so far. */
  steps = 0;
  /** The step at hand: what it has so far, and where it lies. */
  private stepPower = 0;
  private stepStart = 0;
  private stepEnd: number;
  /** Power and length of the steps of the last 3 s, in a ring. */
  private readonly powers = new Float64Array(shortTermSteps);
  private readonly lengths = new Float64Array(shortTermSteps);

  private momentary = 0;
  private shortTerm = 0;
  private blocks = new Float64Array(1024);
  private blockCount = 0;

  constructor(
    private readonly rate: number,
    private readonly weights: readonly number[],
  ) {
    this.filters = weights.map(() => new KFilter(rate));
    this.stepEnd = this.endOf(0);
  }

  /** `notANumber` is called with channel and frame when a sample in the block is none; it must throw. */
  push(block: readonly Float32Array[], notANumber: (channel: number, frame: number) => never): void {
    const length = block[0]?.length ?? 0;
    let at = 0;
    while (at < length) {
      const to = Math.min(length, at + this.stepEnd - this.frames);
      for (let c = 0; c < block.length; c++) {
        const samples = block[c] as Float32Array;
        const energy = (this.filters[c] as KFilter).energy(samples, at, to);
        if (!Number.isFinite(energy)) {
          const wrong = samples.subarray(at, to).findIndex((sample) => !Number.isFinite(sample));
          notANumber(c, this.frames + wrong);
        }
        this.stepPower += (this.weights[c] as number) * energy;
      }
      this.frames += to - at;
      at = to;
      if (this.frames === this.stepEnd) this.endStep();
    }
  }

  /** The highest loudness of 0.4 s so far; null before there are as many, and in silence. */
  get momentaryMax(): number | null {
    return lufsOrNone(this.momentary);
  }

  /** The highest loudness of 3 s so far, likewise. */
  get shortTermMax(): number | null {
    return lufsOrNone(this.shortTerm);
  }

  /** The loudness of the last 0.4 s, as a live meter shows it. */
  get momentaryNow(): number | null {
    return this.steps < momentarySteps ? null : lufsOrNone(this.powerOf(momentarySteps));
  }

  /** The loudness of the last 3 s, likewise. */
  get shortTermNow(): number | null {
    return this.steps < shortTermSteps ? null : lufsOrNone(this.powerOf(shortTermSteps));
  }

  /** Annex 1: the mean power of the blocks above −70, and then of those of them that are above that mean − 10. */
  get integrated(): number | null {
    const audible = this.meanAbove(absoluteGate);
    if (audible === null) return null;
    const counted = this.meanAbove(Math.max(absoluteGate, lufs(audible) + relativeGate));
    return counted === null ? null : lufs(counted);
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

  /** The mean power of the last steps: added up anew each time, so that no rounding gathers over hours. */
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
