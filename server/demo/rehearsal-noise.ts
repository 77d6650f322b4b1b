import { seededRandom } from '../../stats/seeded-random';
import type { Pcm } from '../audio/pcm';
import type { BroughtSound } from './brought-sound';
import { wavOf } from './brought-sound';

/** As little work as a sound may be: two seconds at the lowest rate that is taken. */
const rate = 8_000;
const seconds = 2;
/** By how much a neighbouring sample is mixed in, at most: some decibels between the ends of the spectrum. */
const tilt = 0.3;

/**
 * What a rehearsal plays: noise, the same for all prototypes of an excerpt but for its colour, so that it can be matched
 * and virtual listeners can tell by ear which file is which. The filter is symmetrical, so that nothing is shifted.
 */
export function noiseOf(excerpt: number, prototype: number, prototypes: number): Pcm {
  const random = seededRandom(`noise ${excerpt}`);
  const white = Float32Array.from({ length: rate * seconds }, () => 0.2 * (random.uniform() - 0.5));
  const k = prototypes < 2 ? 0 : tilt * ((2 * prototype) / (prototypes - 1) - 1);
  const at = (i: number) => white[i] ?? 0;
  return { rate, channels: [white.map((sample, i) => sample + k * (at(i - 1) + at(i + 1)))] };
}

/** A file for each prototype and excerpt, or for each excerpt where units are handed over. */
export function noiseFor(excerpts: readonly string[], prototypes: readonly string[]): BroughtSound[] {
  const of = prototypes.length === 0 ? [''] : prototypes;
  return excerpts.flatMap((excerpt, e) =>
    of.map((prototype, p) => {
      const pcm = noiseOf(e, p, of.length);
      return { excerpt, prototype, pcm, name: `noise-${e + 1}-${p + 1}.wav`, file: wavOf(pcm) };
    }),
  );
}
