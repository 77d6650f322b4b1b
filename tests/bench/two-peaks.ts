import { twoPeaks } from '../../protocols/two-peaks';
import { normalVariate } from '../../protocols/virtual-listener';
import { type SeededRandom, seededRandom } from '../../stats/seeded-random';

/**
 * How often ratings are said to gather in two places, where they have one peak or none, and where there are two camps; and
 * beside it what a coefficient of skewness and kurtosis above 5/9 would say. `node tests/bench/bench.mjs two-peaks`, some
 * seconds.
 */

const panels = 2_000;
const sizes = [8, 12, 20, 40, 60];
const within = (value: number, low: number, high: number) => Math.min(high, Math.max(low, Math.round(value)));

/** One listener's rating. */
type Law = (random: SeededRandom) => number;
const camps =
  (low: number, high: number, sd: number, share = 0.5): Law =>
  (random) =>
    within((random.uniform() < share ? low : high) + sd * normalVariate(random), 1, 9);
const laws: [string, number, Law][] = [
  ['all of 9 points alike', 1, (random) => 1 + random.below(9)],
  ['all of 5 points alike', 1, (random) => 1 + random.below(5)],
  ['normal, sd 2 of 9 points', 1, (random) => within(5 + 2 * normalVariate(random), 1, 9)],
  ['normal, sd 1', 1, (random) => within(5 + normalVariate(random), 1, 9)],
  ['crowded at one end', 1, (random) => within(8.5 + 1.5 * normalVariate(random), 1, 9)],
  ['mean of two, all points alike', 1, (random) => (2 + random.below(9) + random.below(9)) / 2],
  ['line of 100, all alike', 10, (random) => random.below(101)],
  [
    'line of 100, 70 % at its five words',
    20,
    (random) => (random.uniform() < 0.7 ? 10 + 20 * random.below(5) : random.below(101)),
  ],
  ['half at 2, half at 8, sd 1', 1, camps(2, 8, 1)],
  ['a third at 2, the rest at 8, sd 1', 1, camps(2, 8, 1, 1 / 3)],
  ['half at 3, half at 7, sd 1', 1, camps(3, 7, 1)],
];

/** Sarle's coefficient with corrections for few values, from memory. */
function skewedOrFlat(values: readonly number[]): boolean {
  const n = values.length;
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const power = (k: number) => values.reduce((sum, value) => sum + (value - mean) ** k, 0);
  const sd = Math.sqrt(power(2) / (n - 1));
  if (sd === 0) return false;
  const skew = (n * power(3)) / sd ** 3 / ((n - 1) * (n - 2));
  const correction = (3 * (n - 1) ** 2) / ((n - 2) * (n - 3));
  const excess = (n * (n + 1) * power(4)) / sd ** 4 / ((n - 1) * (n - 2) * (n - 3)) - correction;
  return (skew ** 2 + 1) / (excess + correction) > 5 / 9;
}

const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(40) : cell.padStart(14))).join(''));
line(`two peaks / coefficient above 5/9, in %; ${panels} panels`, ...sizes.map((n) => `${n} listeners`));
for (const [name, step, law] of laws) {
  const found = sizes.map((n) => {
    const random = seededRandom(`${name} ${n}`);
    let [peaks, coefficient] = [0, 0];
    for (let panel = 0; panel < panels; panel++) {
      const values = Array.from({ length: n }, () => law(random));
      if (twoPeaks(values, step)) peaks++;
      if (skewedOrFlat(values)) coefficient++;
    }
    return `${((100 * peaks) / panels).toFixed(1)} / ${((100 * coefficient) / panels).toFixed(1)}`;
  });
  line(name, ...found);
}
