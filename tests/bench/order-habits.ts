import { methodOf } from '../../protocols/index';
import type { AudienceId } from '../../shared/brands';
import { criticalCount } from '../../stats/critical-count';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { aPlan } from '../blinding/a-plan';
import { designsOf, quickRandomness } from '../protocols/whole-study';

/**
 * How often a difference is shown where nobody hears anything and everybody always gives one and the same answer, each
 * their own: what balance of orders over the panel does to the count of right guesses. Simulated studies of 12 listeners
 * with 16 trials, 5,000 for each line: `node tests/bench/bench.mjs order-habits`. And, worked out exactly for 2-AFC: the
 * most often that any answers at all can show a difference, by the number of answers.
 */

const [studies, listeners, trials, alpha] = [5000, 12, 16, 0.05];
const random = seededRandom('habits');

const habits: Record<string, (answers: number) => number[]> = {
  'all the same one': () => Array<number>(listeners).fill(0),
  'each drawn by itself': (answers) => Array.from({ length: listeners }, () => random.below(answers)),
  'all equally often, any order': (answers) => shuffled(habits['in turn']?.(answers) ?? [], random),
  'in turn': (answers) => Array.from({ length: listeners }, (_, i) => i % answers),
};

const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 1 ? 32 : 16)).join(''));
line('method', 'who always answers what', 'shown', 'by the test', 'variance / binomial');
for (const [method, chance, answers] of [
  ['2-afc', 1 / 2, 2],
  ['3-afc', 1 / 3, 3],
  ['triangle', 1 / 3, 3],
] as const) {
  const plan = aPlan({ method, trials, audiences: [['home', listeners]] });
  const { protocol, form } = methodOf(plan);
  const { count, attainedAlpha } = criticalCount({ trials: listeners * trials, chance, alpha });
  for (const [name, habitsOf] of Object.entries(habits)) {
    let [shown, sum, squares] = [0, 0, 0];
    for (let study = 0; study < studies; study++) {
      const randomness = quickRandomness(`${method} ${name} ${study}`);
      let right = 0;
      for (const [i, habit] of habitsOf(answers).entries()) {
        const seat = { audience: 'home' as AudienceId, ordinal: i + 1, sitting: 1 };
        for (const design of designsOf(plan, seat, randomness).slice(1)) {
          right += protocol.score(form, design, { picked: habit + 1 }, plan)[0]?.value ?? Number.NaN;
        }
      }
      if (count !== null && right >= count) shown++;
      sum += right;
      squares += right ** 2;
    }
    const variance = squares / studies - (sum / studies) ** 2;
    const ratio = variance / (listeners * trials * chance * (1 - chance));
    line(
      method,
      name,
      `${((100 * shown) / studies).toFixed(1)} %`,
      `${(100 * attainedAlpha).toFixed(1)} %`,
      ratio.toFixed(2),
    );
  }
}

/** Chances of right answers in 2-AFC when `first` of the answers say "the first" and so many of the orders are balanced. */
function rights(balanced: number, first: number): Map<number, number> {
  const chances = new Map<number, number>();
  const halves = balanced % 2 === 0 ? [balanced / 2] : [(balanced - 1) / 2, (balanced + 1) / 2];
  for (const half of halves) {
    for (let both = Math.max(0, first + half - balanced); both <= Math.min(first, half); both++) {
      const right = both + (balanced - first - (half - both));
      const chance = hypergeometric(both, half, balanced - half, first) / halves.length;
      chances.set(right, (chances.get(right) ?? 0) + chance);
    }
  }
  return chances;
}

/** Chance that `both` of `drawn` are among `marked`, the others among `rest`. */
const hypergeometric = (both: number, marked: number, rest: number, drawn: number): number =>
  Math.exp(logChoose(marked, both) + logChoose(rest, drawn - both) - logChoose(marked + rest, drawn));

const logs = [0];
for (let n = 1; n <= 400; n++) logs.push((logs[n - 1] as number) + Math.log(n));
const logChoose = (n: number, k: number): number => (logs[n] as number) - (logs[k] as number) - (logs[n - k] as number);

/** The most often that any answers at all show a difference, in 2-AFC with so many of the orders drawn by themselves. */
function worst(from: number, to: number, free: number): [share: number, answers: number] {
  let [most, at] = [0, from];
  for (let n = from; n <= to; n++) {
    const { count } = criticalCount({ trials: n, chance: 1 / 2, alpha });
    if (count === null) continue;
    for (let first = 0; first <= n - free; first++) {
      let shown = 0;
      for (const [right, chance] of rights(n - free, first)) {
        // P(so many of three or more), or what none can add.
        const tails = free === 3 ? [1, 7 / 8, 4 / 8, 1 / 8] : [1];
        shown += chance * (tails[Math.max(0, count - right)] ?? 0);
      }
      if (shown > most) [most, at] = [shown, n];
    }
  }
  return [most, at];
}

for (const [free, words] of [
  [3, '3 orders drawn by themselves and the others balanced'],
  [0, 'all balanced (one answer of each listener; their habits settled beforehand, not drawn)'],
] as const) {
  console.log(`\n2-AFC, whatever is answered, ${words}, alpha ${alpha}:`);
  for (const [from, to] of [
    [6, 20],
    [21, 52],
    [53, 100],
    [101, 200],
  ] as const) {
    const [most, at] = worst(from, to, free);
    console.log(`${from} to ${to} answers: at most ${(100 * most).toFixed(2)} % (${at} answers)`);
  }
}
