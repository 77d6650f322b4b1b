import { seededRandom } from '../stats/seeded-random';
import { shuffled } from '../stats/shuffled';
import { fewestTested } from './over-listeners';
import { meanOf } from './own-ratings';
import type { UnitAnswer } from './unit-answers';

export interface UnitsApart {
  /** That units of this prototype are all alike; null where nobody could have heard another of them than they did. */
  p: number | null;
  /** Variance of units beyond what dealing them out otherwise gives, in squared units of the values; below 0 by chance. */
  variance: number | null;
  permutations: number;
}

/** What one listener heard of a prototype in one sitting, as one figure. */
interface Cell {
  sitting: number;
  unit: number;
  value: number;
}

const permutations = 2000;
/** Sums that differ by less than this share are equal but for rounding. */
const rounding = 1e-9;

/**
 * Whether units of one prototype differ, for answers of any kind. Which unit a listener hears in which sitting was drawn: so
 * units are dealt out again, a listener's whole sequence to somebody else who came to the same sittings, and p is the share
 * of such deals that set units apart at least as far (Fisher 1935, The Design of Experiments, section 21; + 1 by Phipson &
 * Smyth 2010, Statistical Applications in Genetics and Molecular Biology 9, art. 39). It takes the units for those that
 * there are, and answers of one listener may hang together as they like.
 *
 * How far apart is told by the score statistic of a random unit effect: sums over units of what is left of a figure once
 * its sitting's mean is off, weighed for a listener's level by the intraclass correlation of those who came again. All that
 * is known without the units, so that whatever it is the test holds its level.
 *
 * `variance` is by moments: the variance of units' means, less its mean over the deals. Ours, from these principles.
 * @param answers about units of one prototype, of one audience
 */
export function unitsApart(answers: readonly UnitAnswer[], seed: string): UnitsApart {
  const own = listenersOf(answers);
  const none = { p: null, variance: null, permutations };
  const strata = [...groupBy(own, (cells) => cells.map(({ sitting }) => sitting).join()).values()];
  const sequence = (cells: readonly Cell[]) => cells.map(({ unit }) => unit).join();
  const movable = strata.some((stratum) => new Set(stratum.map(sequence)).size > 1);
  if (own.length < fewestTested || !movable) return none;
  const units = 1 + Math.max(...own.flat().map(({ unit }) => unit));
  const times = Array.from({ length: units }, (_, unit) => own.flat().filter((cell) => cell.unit === unit).length);
  const heard = times.filter((count) => count > 0).length;
  const rows = strata.map((stratum) => ({
    left: leftOver(stratum, own),
    units: stratum.map((cells) => cells.map(({ unit }) => unit)),
  }));
  const correlation = withinListeners(rows.flatMap(({ left }) => left));
  const weighed = rows.map(({ left }) => left.map((values) => levelled(values, correlation)));
  const spread = (dealt: readonly (readonly number[][])[]) => {
    const [sums, plain] = [new Float64Array(units), new Float64Array(units)];
    for (let s = 0; s < rows.length; s++) {
      const [scores, left, dealtUnits] = [
        weighed[s] as number[][],
        (rows[s] as (typeof rows)[number]).left,
        dealt[s] as number[][],
      ];
      for (let l = 0; l < scores.length; l++) {
        const [score, value, unit] = [scores[l] as number[], left[l] as number[], dealtUnits[l] as number[]];
        for (let k = 0; k < score.length; k++) {
          const at = unit[k] as number;
          sums[at] = (sums[at] as number) + (score[k] as number);
          plain[at] = (plain[at] as number) + (value[k] as number);
        }
      }
    }
    let apart = 0;
    const means: number[] = [];
    for (const [unit, count] of times.entries()) {
      if (count === 0) continue;
      apart += (sums[unit] as number) ** 2 / count;
      means.push((plain[unit] as number) / count);
    }
    const middle = meanOf(means);
    return { apart, variance: means.reduce((sum, mean) => sum + (mean - middle) ** 2, 0) / (heard - 1) };
  };
  const seen = spread(rows.map((one) => one.units));
  const total = weighed.flat(2).reduce((sum, value) => sum + value ** 2, 0);
  // Everybody alike: nothing is set apart by any deal.
  if (total < rounding ** 2) return none;
  const random = seededRandom(seed);
  let [far, variances] = [0, 0];
  for (let i = 0; i < permutations; i++) {
    const dealt = spread(rows.map((one) => shuffled(one.units, random)));
    if (dealt.apart >= seen.apart - rounding * total) far++;
    variances += dealt.variance;
  }
  return { p: (far + 1) / (permutations + 1), variance: seen.variance - variances / permutations, permutations };
}

/** Each listener's figures in the order of sittings; listeners in the order of what they said, so that names move no digit. */
function listenersOf(answers: readonly UnitAnswer[]): Cell[][] {
  return [...groupBy(answers, ({ listener }) => listener).values()]
    .map((own) =>
      [...groupBy(own, ({ sitting, unit }) => `${sitting} ${unit}`).values()]
        .map((cell) => ({
          sitting: (cell[0] as UnitAnswer).sitting,
          unit: (cell[0] as UnitAnswer).unit,
          value: meanOf(cell.map(({ value }) => value).sort((a, b) => a - b)),
        }))
        .sort((a, b) => a.sitting - b.sitting || a.unit - b.unit),
    )
    .map((cells) => ({ key: JSON.stringify(cells), cells }))
    .sort((a, b) => (a.key < b.key ? -1 : a.key > b.key ? 1 : 0))
    .map(({ cells }) => cells);
}

/** Figures less the mean of all in the same sitting. */
function leftOver(stratum: readonly (readonly Cell[])[], all: readonly (readonly Cell[])[]): number[][] {
  const means = new Map(
    [...groupBy(all.flat(), ({ sitting }) => sitting)].map(([sitting, cells]) => [
      sitting,
      meanOf(cells.map(({ value }) => value)),
    ]),
  );
  return stratum.map((cells) => cells.map(({ sitting, value }) => value - (means.get(sitting) ?? 0)));
}

/** Intraclass correlation of those with two figures or more, by mean squares (one way), kept between 0 and 0.95. */
function withinListeners(rows: readonly (readonly number[])[]): number {
  const own = rows.filter(({ length }) => length > 1);
  const count = own.reduce((sum, { length }) => sum + length, 0);
  if (own.length < 2) return 0;
  const middle = own.flat().reduce((sum, value) => sum + value, 0) / count;
  const means = own.map(meanOf);
  const between =
    own.reduce((sum, { length }, i) => sum + length * ((means[i] as number) - middle) ** 2, 0) / (own.length - 1);
  const within =
    own.reduce((sum, values, i) => sum + values.reduce((s, value) => s + (value - (means[i] as number)) ** 2, 0), 0) /
    (count - own.length);
  const each = (count - own.reduce((sum, { length }) => sum + length ** 2, 0) / count) / (own.length - 1);
  const all = between + (each - 1) * within;
  return all <= 0 ? 0 : Math.min(0.95, Math.max(0, (between - within) / all));
}

/** Figures by the inverse of their covariance: those of one listener share his or her level. */
function levelled(values: readonly number[], correlation: number): number[] {
  const sum = values.reduce((total, value) => total + value, 0);
  const off = (correlation / (1 - correlation + values.length * correlation)) * sum;
  return values.map((value) => value - off);
}

function groupBy<T, K>(items: readonly T[], key: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const own = groups.get(key(item));
    if (own) own.push(item);
    else groups.set(key(item), [item]);
  }
  return groups;
}
