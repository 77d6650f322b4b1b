import type { Truth } from '../../protocols/protocol';
import { type YesNoMethod, yesInAll } from '../../protocols/yes-no-counts';
import { distanceEstimate, distanceOf } from '../../protocols/yes-no-distance';
import { differencingEars, learntEars, saysDifferent, takesForLearnt } from '../../protocols/yes-no-ears';
import { fisherUpper } from '../../stats/fisher-exact';
import { type SeededRandom, seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { stratifiedUpper, type YesCounts } from '../../stats/stratified-yes';

/**
 * Same–different and A–not-A: how often a difference is found where nobody hears any, whatever habit answers follow; and
 * how often the interval of d′ holds the truth. `node tests/bench/bench.mjs yes-no`, about a minute.
 */

const alpha = 0.05;
const random = seededRandom(11);
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 44 : 12)).join(''));

/** What somebody who hears nothing says in a sitting, trial by trial: habits that a test must bear. */
const habits: Record<string, (i: number, trials: number, said: boolean[], from: SeededRandom, own: number) => boolean> =
  {
    'a readiness of one’s own': (_i, _n, _said, from, own) => from.uniform() < own,
    'yes at first, then no': (i, trials) => i < trials / 2,
    'by turns': (i) => i % 2 === 0,
    'never the same three times': (i, _n, said, from) =>
      i > 1 && said[i - 1] === said[i - 2] ? !said[i - 1] : from.uniform() < 0.5,
    'half and half, as the plan has it': (i, trials, said, from) => {
      const left = trials / 2 - said.filter(Boolean).length;
      return from.uniform() < left / (trials - i);
    },
  };

line(`nobody hears anything, α ${alpha}`, 'panel', 'found', 'pooled (Fisher)');
const panels = 10_000;
for (const [listeners, trials] of [
  [6, 12],
  [24, 6],
  [2, 40],
] as const) {
  const kinds = Array.from({ length: trials }, (_, i) => i < trials / 2);
  for (const [name, says] of Object.entries(habits)) {
    let [found, pooled] = [0, 0];
    for (let panel = 0; panel < panels; panel++) {
      const sittings = Array.from({ length: listeners }, (): YesCounts => {
        const own = random.uniform();
        const said: boolean[] = [];
        const counts = { hits: 0, signalTrials: trials / 2, falseAlarms: 0, noiseTrials: trials / 2 };
        // In an order as a sitting is drawn: each as likely as any other.
        shuffled(kinds, random).forEach((signal, i) => {
          const yes = says(i, trials, said, random, own);
          said.push(yes);
          if (yes && signal) counts.hits++;
          if (yes && !signal) counts.falseAlarms++;
        });
        return counts;
      });
      if (stratifiedUpper(sittings) <= alpha) found++;
      const all = yesInAll(sittings);
      if (fisherUpper(all.hits, all.signalTrials, all.falseAlarms, all.noiseTrials) <= alpha) pooled++;
    }
    line(name, `${listeners}×${trials}`, percent(found / panels), percent(pooled / panels));
  }
}

/** Counts of one listener in all sittings. */
function counted(method: YesNoMethod, truth: Truth, trials: number): YesCounts {
  const half = trials / 2;
  const counts = { hits: 0, signalTrials: half, falseAlarms: 0, noiseTrials: half };
  const ears = method === 'same-different' ? differencingEars(truth, random) : null;
  const learnt = ears ? null : learntEars(truth, 'a', random);
  const says = (signal: boolean) =>
    ears ? saysDifferent(ears, signal, random) : learnt !== null && takesForLearnt(learnt, signal, random);
  for (let i = 0; i < half; i++) {
    if (says(true)) counts.hits++;
    if (says(false)) counts.falseAlarms++;
  }
  return counts;
}

console.log();
const level = 0.95;
line(`interval of d′ at ${level}`, 'panel', 'd′ of all', 'held');
const studies = 300;
for (const method of ['same-different', 'a-not-a'] as const) {
  for (const [words, truth] of [
    ['d′ 1.5, all alike', { listenersWhoHear: 1, dPrime: 1.5 }],
    ['d′ 1.5, readiness differs', { listenersWhoHear: 1, dPrime: 1.5, gamma: 0.2 }],
    ['d′ 2.5 of half of them', { listenersWhoHear: 0.5, dPrime: 2.5 }],
    ['d′ 0', {}],
  ] as const) {
    // What all answers together tend to: where listeners differ it is no listener's own.
    const all = yesInAll(Array.from({ length: 40_000 }, () => counted(method, truth, 12)));
    const { dPrime } = words === 'd′ 0' ? { dPrime: 0 } : distanceOf(method, all);
    for (const [listeners, trials] of [
      [1, 40],
      [4, 12],
      [8, 12],
      [16, 12],
      [24, 6],
    ] as const) {
      if (listeners === 1 && words !== 'd′ 1.5, all alike' && words !== 'd′ 0') continue;
      let held = 0;
      for (let study = 0; study < studies; study++) {
        const found = distanceEstimate(
          method,
          Array.from({ length: listeners }, () => counted(method, truth, trials)),
          level,
        );
        if (found && found.lower <= dPrime && dPrime <= found.upper) held++;
      }
      line(`${method}, ${words}`, `${listeners}×${trials}`, dPrime.toFixed(2), percent(held / studies));
    }
  }
}
