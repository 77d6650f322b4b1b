import { expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { panelLine } from '../../../server/review/listeners/panel-line';
import { verdictWords, verdictWordsIn } from '../../../shared/words/en';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { plain } from '../a-result';
import { randomStudy, type Wish } from '../random-study';

/** Page one says how good the panel was, in a line that any family has. */
function lineOf(wish: PlanWish, study: Wish): string | null {
  const plan = aPlan({ audiences: [['home', 10]], ...wish });
  const found = findingsOf(randomStudy(plan, study).record, { resamples: 100 });
  return panelLine(found.listeners?.[0], found.overTime?.[0], plan);
}
const number = '-?\\d+(\\.\\d+)?';

test.each<[string, PlanWish, Wish, string]>([
  [
    'right answers',
    { method: 'abx', trials: 16 },
    { seed: 3, truth: { heard: 0.9, listenersWhoHear: 1 } },
    '([7-9]|10) of 10 listeners do better, each by themselves, than guessing explains',
  ],
  [
    'yes and no',
    { method: 'same-different', trials: 12 },
    { seed: 3, truth: { dPrime: 0 } },
    '0 of 10 listeners do better',
  ],
  [
    'pairs',
    { repeats: 4 },
    { seed: 3, truth: { worth: { 'proto-a': 9 }, gamma: 0 } },
    'decided as before in 30 of 30 cases \\(100 %; a coin gives half\\)',
  ],
  [
    'rankings',
    { method: 'ranking', prototypes: 3, sessions: 2 },
    { seed: 3 },
    `the same way round again in ${number} % of cases`,
  ],
  [
    'ratings',
    { method: 'first-impressions', sessions: 3 },
    { seed: 3, truth: { ratings: {} } },
    `spread by ${number} points \\(SD, median over listeners\\)`,
  ],
  [
    'a rating each',
    { method: 'attribute-profile', prototypes: 4 },
    { seed: 3, truth: { ratings: { brightness: { 'proto-a': 2, 'proto-b': -2 } } } },
    `The panel: a listener’s ratings follow those of the others with r = ${number} \\(median\\)`,
  ],
])('%s', (_name, wish, study, pattern) => {
  const line = plain(lineOf(wish, study) ?? '');
  expect(line).toMatch(new RegExp(`^(?=The panel: (?![A-Z])).*${pattern}.* This decides nothing\\.$`));
  for (const { short } of [...Object.values(verdictWords), verdictWordsIn('difference', 'difference-shown')]) {
    expect(line).not.toContain(short);
  }
});

test('where listeners sat more than once, it says whether it lasts, in the word of the findings', () => {
  const plan = aPlan({ repeats: 2, sessions: 2, audiences: [['home', 10]] });
  const [own] = findingsOf(randomStudy(plan, { seed: 3 }).record, { resamples: 100 }).overTime ?? [];
  if (!own?.again) throw new Error('nobody sat twice');
  const { again } = own;
  const said = (word: 'drifting' | 'stable' | 'unknown') =>
    plain(panelLine(undefined, { ...own, again: again && { ...again, word } }, plan) ?? '');
  expect(said('drifting')).toMatch(/^With hearing, the result moves: see “Over the sittings”\. This decides/);
  expect(said('stable')).toMatch(
    /^With hearing, the result moves by less than 25 percentage points from the first planned sitting to the last\. This decides/,
  );
  expect(said('unknown')).toMatch(/^Whether the result moves with hearing can’t be told\. This decides/);
  expect(panelLine(undefined, { ...own, again: null }, plan)).toBeNull();
});

test('nothing asked twice: no line', () => {
  expect(lineOf({ prototypes: 2, trials: 1 }, { seed: 3 })).toBeNull();
});

test('who does better than guessing is told at the level of the plan: luck in one listener is none', () => {
  const plan = aPlan({ method: 'abx', trials: 8, audiences: [['home', 10]] });
  const [own] =
    findingsOf(randomStudy(plan, { seed: 3, truth: { heard: 0 } }).record, { resamples: 100 }).listeners ?? [];
  if (own?.kind !== 'right') throw new Error('nothing is right or wrong');
  const listeners = own.listeners.map((one, i) => ({ ...one, pAdjusted: [0.01, 0.05, 0.051, 0.5, 0.94][i] ?? 1 }));
  expect(panelLine({ ...own, listeners }, undefined, plan)).toContain('2 of 10 listeners do better');
});
