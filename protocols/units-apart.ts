import { type SeededRandom, seededRandom } from '../stats/seeded-random';
import { groupBy } from './groups';
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
/** Enough to know how much of a unit's effect a deal leaves, which hangs on no answer. */
const dealsOfEffects = 100;
/** With less of it than this, deals are too much like what was heard to tell how far units lie apart. */
const leastPart = 0.1;
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
 * `variance` is by moments: the variance of units' means, less its mean over the deals, by what these two would differ for
 * units with a variance of 1, since a deal leaves a part of units' effects. Ours, from these principles; unbiased but for
 * the number of deals (`tests/bench/results/units-apart.txt`).
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
  const left = strata.map((stratum) => leftOver(stratum, own, ({ value }) => value));
  const correlation = withinListeners(left.flat());
  const blocks = strata.map((stratum, s): Block => {
    const rows = left[s] as number[][];
    return {
      listeners: stratum.length,
      each: rows[0]?.length ?? 0,
      plain: Float64Array.from(rows.flat()),
      weighed: Float64Array.from(rows.flatMap((values) => levelled(values, correlation))),
      units: Int32Array.from(stratum.flat().map(({ unit }) => unit)),
      order: Int32Array.from(stratum, (_, i) => i),
      heard: times.map((_, unit) =>
        Float64Array.from(leftOver(stratum, own, (cell) => (cell.unit === unit ? 1 : 0)).flat()),
      ),
    };
  });
  const total = blocks.flatMap(({ weighed }) => [...weighed]).reduce((sum, value) => sum + value ** 2, 0);
  // Everybody alike: nothing is set apart by any deal.
  if (total < rounding ** 2) return none;
  const seen = setApart(blocks, times);
  const effects = () =>
    times.reduce(
      (sum, _, unit) => sum + setApart(blocks, times, ({ heard }) => heard[unit] as Float64Array).variance,
      0,
    );
  const seenEffects = effects();
  const random = seededRandom(seed);
  let [far, variances, dealtEffects] = [0, 0, 0];
  for (let i = 0; i < permutations; i++) {
    for (const { order } of blocks) shuffle(order, random);
    const dealt = setApart(blocks, times);
    if (dealt.apart >= seen.apart - rounding * total) far++;
    variances += dealt.variance;
    if (i < dealsOfEffects) dealtEffects += effects();
  }
  const part = seenEffects - dealtEffects / dealsOfEffects;
  return {
    p: (far + 1) / (permutations + 1),
    variance: part < leastPart ? null : (seen.variance - variances / permutations) / part,
    permutations,
  };
}

/** Those who came to the same sittings, listener by listener; `order`: whose sequence of units each is dealt. */
interface Block {
  listeners: number;
  each: number;
  plain: Float64Array;
  weighed: Float64Array;
  units: Int32Array;
  order: Int32Array;
  /** For each unit, what would be left over if it alone were rated 1 and the others 0. */
  heard: Float64Array[];
}

/** The score statistic, and the variance of units' means. */
function setApart(
  blocks: readonly Block[],
  times: readonly number[],
  plainOf = ({ plain }: Block): Float64Array => plain,
): { apart: number; variance: number } {
  const [scores, sums] = [new Float64Array(times.length), new Float64Array(times.length)];
  for (const block of blocks) {
    const { listeners, each, weighed, units, order } = block;
    const plain = plainOf(block);
    for (let l = 0; l < listeners; l++) {
      const from = (order[l] as number) * each;
      for (let k = 0; k < each; k++) {
        const unit = units[from + k] as number;
        scores[unit] = (scores[unit] as number) + (weighed[l * each + k] as number);
        sums[unit] = (sums[unit] as number) + (plain[l * each + k] as number);
      }
    }
  }
  let [apart, total, squares, heard] = [0, 0, 0, 0];
  for (let unit = 0; unit < times.length; unit++) {
    const count = times[unit] as number;
    if (count === 0) continue;
    apart += (scores[unit] as number) ** 2 / count;
    const mean = (sums[unit] as number) / count;
    total += mean;
    squares += mean ** 2;
    heard++;
  }
  // Means of what is left over lie about zero, so that little is lost by this formula.
  return { apart, variance: Math.max(0, squares - total ** 2 / heard) / (heard - 1) };
}

/** In place: Fisher–Yates (Durstenfeld 1964), as `shuffled` has it; with 53 bits nobody sees that orders aren't quite alike. */
function shuffle(order: Int32Array, random: Pick<SeededRandom, 'uniform'>): void {
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.floor(random.uniform() * (i + 1));
    const kept = order[i] as number;
    order[i] = order[j] as number;
    order[j] = kept;
  }
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
function leftOver(
  stratum: readonly (readonly Cell[])[],
  all: readonly (readonly Cell[])[],
  figure: (cell: Cell) => number,
): number[][] {
  const means = new Map(
    [...groupBy(all.flat(), ({ sitting }) => sitting)].map(([sitting, cells]) => [sitting, meanOf(cells.map(figure))]),
  );
  return stratum.map((cells) => cells.map((cell) => figure(cell) - (means.get(cell.sitting) ?? 0)));
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
