import { describe, expect, test } from 'vitest';
import { alphaEach } from '../../protocols/alpha-each';
import { analysePairedPreference, assumedTasteSpread } from '../../protocols/paired-preference-analysis';
import type { Truth } from '../../protocols/protocol';
import { preferencePower } from '../../stats/preference-power';
import { preferenceSize } from '../../stats/preference-size';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { said, simulated } from './simulated-study';

/** What several audiences cost each other: in the verdict, in the power that is stated, in the panel that is asked for. */

const quick = { resamples: 100 };
const all = (count: number, line: string, audience: string) =>
  Array.from({ length: count }, (_, i) => said(`${audience}${i}`, line, audience)).flat();
const torn = (count: number, audience: string) => [
  ...all(count / 2, 'ab+ ba- ab+', audience),
  ...all(count / 2, 'ab- ba+ ab-', `${audience}`).map((one) => ({
    ...one,
    listener: `x${one.listener}` as typeof one.listener,
  })),
];
const both = (listeners: number) =>
  aPlan({
    repeats: 3,
    audiences: [
      ['home', listeners],
      ['stage', listeners],
    ],
  });

describe('stated power is what whole studies show', () => {
  /** Home truly gives three quarters to a, Stage prefers nothing. */
  function shown(listeners: number, studies: number): number {
    const plan = both(listeners);
    const truths: Truth[] = [
      { worth: { 'proto-a': Math.log(3) }, gamma: assumedTasteSpread },
      { gamma: assumedTasteSpread },
    ];
    let found = 0;
    for (let i = 0; i < studies; i++) {
      const outcomes = plan.audiences.flatMap((audience, k) =>
        simulated({ ...plan, audiences: [audience] }, truths[k] as Truth, listeners, 3, seededRandom(`${i} ${k}`)),
      );
      const { results } = analysePairedPreference(outcomes, plan, { verdictOnly: true });
      if (results[0]?.verdict === 'preferred') found++;
    }
    return found / studies;
  }
  const stated = (listeners: number) =>
    analysePairedPreference(
      [...all(listeners, 'ab+ ba+ ab+', 'home'), ...torn(listeners, 'stage')],
      both(listeners),
      quick,
    ).results[0]?.power ?? -1;

  test('6 + 6 listeners can never show one audience alone', () => {
    expect(shown(6, 200)).toBe(0);
    expect(stated(6)).toBe(0);
  });

  test('12 + 12', () => {
    // 600 studies: a standard error of two points; the other audience lifts it a little when it errs.
    expect(Math.abs(shown(12, 600) - stated(12))).toBeLessThan(0.06);
  });
});

test('α is shared among the audiences that answered; a panel to settle it, among all that are planned', () => {
  const plan = both(8);
  expect(alphaEach(plan)).toBe(0.025);
  const design = { repeats: 3, share: 0.75, gamma: assumedTasteSpread, seed: 1 };
  const home = torn(8, 'home');
  const [alone] = analysePairedPreference(home, plan, quick).results;
  expect(alone?.power).toBe(preferencePower({ ...design, listeners: 8, alpha: 0.05 }).power);
  expect(alone?.wouldSettle?.listeners).toBe(preferenceSize({ ...design, alpha: 0.025, beta: 0.2 }).listeners);
  const [beside] = analysePairedPreference([...home, ...torn(8, 'stage')], plan, quick).results;
  expect(beside?.power).toBe(preferencePower({ ...design, listeners: 8, alpha: 0.025 }).power);
});

describe('six of one mind', () => {
  const six = all(6, 'ab+ ba- ab+', 'home');
  const verdict = (...stage: ReturnType<typeof all>) =>
    analysePairedPreference([...six, ...stage], both(6), quick).results[0]?.verdict;

  test('are enough alone: 2/64', () => {
    expect(verdict()).toBe('preferred');
  });

  test('beside an audience that prefers nothing could not have shown it: 4/64', () => {
    expect(verdict(...torn(6, 'stage'))).toBe('not-enough-data');
  });

  test('beside an audience that is of one mind, too, both are shown: Holm lets the second pass at α', () => {
    expect(verdict(...all(8, 'ab- ba+ ab-', 'stage'))).toBe('preferred');
  });
});

test('answers that a rule leaves out make no repeats: power counts the answers that are used', () => {
  const plan = aPlan({ repeats: 2, noPreference: { offered: true, rule: 'drop' } });
  // Six choose twice, six never do: 24 answers, of which 12 count, two for each of six listeners.
  const outcomes = [
    ...all(6, 'ab+ ba-', 'home'),
    ...all(6, 'ab0 ba0', 'home').map((one) => ({ ...one, listener: `x${one.listener}` as typeof one.listener })),
  ];
  const [result] = analysePairedPreference(outcomes, plan, quick).results;
  expect(result?.primary).toMatchObject({ listeners: 6, trials: 24 });
  expect(result?.power).toBe(
    preferencePower({ listeners: 6, repeats: 2, share: 0.75, gamma: assumedTasteSpread, seed: 1 }).power,
  );
});

test('a new study is sized as the plan asks, whatever was lost of this one', () => {
  const plan = aPlan({ repeats: 3 });
  const [nobody] = analysePairedPreference([], plan, quick).results;
  const needed = preferenceSize({ repeats: 3, share: 0.75, gamma: assumedTasteSpread, beta: 0.2, seed: 1 }).listeners;
  expect(nobody?.wouldSettle).toEqual({ listeners: needed });
});

test('scores of data that separate have no intervals: their ends would be drawn from the half win', () => {
  const outcomes = all(8, 'ab+ ac- bc-', 'home');
  const [result] = analysePairedPreference(outcomes, aPlan({ prototypes: 3 }), quick).results;
  expect(result?.scores?.halfWinAdded).toBe(true);
  for (const { lower, upper } of result?.scores?.scores ?? []) expect([lower, upper]).toEqual([null, null]);
});
