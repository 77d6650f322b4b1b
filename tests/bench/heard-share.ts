import { heardShare } from '../../protocols/heard-share';
import { binomialTest } from '../../stats/binomial-test';
import { distinguishers } from '../../stats/distinguishers';
import { type SeededRandom, seededRandom } from '../../stats/seeded-random';

/**
 * How often the interval of the share heard holds the truth, over listeners and by pooled trials, and how often it leaves
 * out 0 where nobody hears anything: simulated studies, `node tests/bench/bench.mjs heard-share`, about half a minute.
 */

const studies = 2000;
const level = 0.95;
const random = seededRandom(5);

/** Right answers of listeners whose share of trials heard is drawn anew for each. */
const panel = (listeners: number, trials: number, share: (random: SeededRandom) => number) =>
  Array.from({ length: listeners }, () => {
    const right = (1 + share(random)) / 2;
    let correct = 0;
    for (let i = 0; i < trials; i++) if (random.uniform() < right) correct++;
    return { correct, trials };
  });

const percent = (count: number) => `${((100 * count) / studies).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 34 : 18)).join(''));

line(`intervals at ${level}, ${studies} studies`, 'listeners×trials', 'held, listeners', 'held, pooled');
for (const [who, share, truth] of [
  ['shares spread evenly', (from: SeededRandom) => from.uniform(), 0.5],
  ['30 % of listeners always', (from: SeededRandom) => (from.uniform() < 0.3 ? 1 : 0), 0.3],
  ['everybody in 40 % of trials', () => 0.4, 0.4],
] as const) {
  for (const [listeners, trials] of [
    [2, 12],
    [3, 12],
    [4, 12],
    [6, 12],
    [8, 12],
    [12, 12],
    [24, 8],
    [12, 4],
  ] as const) {
    let [over, pooled] = [0, 0];
    for (let study = 0; study < studies; study++) {
      const counts = panel(listeners, trials, share);
      const { heard } = heardShare(counts, 0.5, level);
      if (heard && heard.lower <= truth && truth <= heard.upper) over++;
      const correct = counts.reduce((sum, one) => sum + one.correct, 0);
      const { lower, upper } = distinguishers({ correct, trials: listeners * trials, chance: 0.5, level });
      if (lower <= truth && truth <= upper) pooled++;
    }
    line(who, `${listeners}×${trials}`, percent(over), percent(pooled));
  }
}

line('nobody hears anything', 'listeners×trials', 'lower above 0', 'p above 0.05 then');
for (const [listeners, trials] of [
  [6, 12],
  [12, 8],
  [12, 16],
  [30, 4],
  [100, 8],
] as const) {
  let [above, undecided] = [0, 0];
  for (let study = 0; study < studies; study++) {
    const counts = panel(listeners, trials, () => 0);
    if ((heardShare(counts, 0.5, level).heard?.lower ?? 0) <= 0) continue;
    above++;
    const correct = counts.reduce((sum, one) => sum + one.correct, 0);
    if (binomialTest({ correct, trials: listeners * trials }).p > 0.05) undecided++;
  }
  line('', `${listeners}×${trials}`, percent(above), percent(undecided));
}
