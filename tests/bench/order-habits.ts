import { methodOf } from '../../protocols/index';
import type { AudienceId } from '../../shared/brands';
import { criticalCount } from '../../stats/critical-count';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { aPlan } from '../blinding/a-plan';
import { designsOf, quickRandomness } from '../protocols/whole-study';

/**
 * How often a difference is shown where nobody hears anything and everybody always gives one and the same answer, each
 * their own: what balance of orders over listeners does to the count of right guesses. Simulated studies of 12 listeners
 * with 16 trials, 5,000 for each line: `node tests/bench/bench.mjs order-habits`, about a minute.
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
