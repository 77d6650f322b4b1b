import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { lowPassed } from '../audio/low-pass';
import type { Pcm } from '../audio/pcm';
import { type BroughtSound, wavOf } from './brought-sound';

/** As little work as a sound may be: two seconds, or the window, at the lowest rate that is taken or one for every band. */
const rates = { usual: 8_000, anchored: 16_000, high: 48_000 };
const leastSeconds = 2;
/** By how much the neighbours of a sample are mixed in, at most: some decibels from one end of the spectrum to the other. */
const tilt = 0.3;

/**
 * What a rehearsal plays: noise, the same for all prototypes of an excerpt but for its colour, so that it can be matched
 * and whoever has ears can tell which file is which. The filter is symmetrical, so that nothing begins later.
 */
function noiseOf(rate: number, seconds: number, excerpt: number, prototype: number, prototypes: number): Pcm {
  const random = seededRandom(`noise ${excerpt}`);
  const white = Float32Array.from({ length: rate * seconds }, () => 0.2 * (random.uniform() - 0.5));
  const k = prototypes < 2 ? 0 : tilt * ((2 * prototype) / (prototypes - 1) - 1);
  const at = (i: number) => white[i] ?? 0;
  return { rate, channels: [white.map((sample, i) => sample + k * (at(i - 1) + at(i + 1)))] };
}

/**
 * A file for each excerpt and, where renders are played, for each prototype, in the order of the plan. Of an anchor there
 * is none: it is told by its sound all the same.
 */
export function noiseFor({ excerpts, prototypes, playback, sound, firstImpression, method }: Plan): BroughtSound[] {
  const of: Pick<Plan['prototypes'][number], 'id' | 'anchor'>[] = playback === 'renders' ? prototypes : [{ id: '' }];
  const { reference } = method.spec as { reference?: unknown };
  const source = of.findIndex(({ id }) => id === reference);
  const high = sound?.match.kind === 'band' && sound.match.high > 0.4 * rates.usual;
  const rate = high ? rates.high : of.some(({ anchor }) => anchor) ? rates.anchored : rates.usual;
  const seconds = Math.max(leastSeconds, firstImpression?.windowSeconds ?? 0);
  return excerpts.flatMap((_, e) =>
    of.map(({ id: prototype, anchor }, p): BroughtSound => {
      if (anchor) {
        const pcm = lowPassed(noiseOf(rate, seconds, e, source, of.length), anchor.lowPassHz);
        return { prototype, pcm, name: '', file: null };
      }
      const pcm = noiseOf(rate, seconds, e, p, of.length);
      return { prototype, pcm, name: `generated-noise-${e + 1}-${p + 1}.wav`, file: wavOf(pcm) };
    }),
  );
}
