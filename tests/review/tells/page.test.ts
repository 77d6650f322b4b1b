import { describe, expect, test } from 'vitest';
import { tellCautions, tellsPart } from '../../../server/review/tells/page';
import { tellTests } from '../../../server/review/tells/tests';
import type { GuessFindings, TellsFindings, TellTest } from '../../../shared/findings-tells';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { plain } from '../a-result';
import { handled, seenStudy } from './seen-study';

const plan = aPlan({ names: ['As sold', 'Wide vent'], audiences: [['home', 10]] });
const guesses: GuessFindings = {
  asked: 20,
  answered: 18,
  noIdea: 2,
  right: 9,
  of: 2,
  chance: 0.5,
  p: 0.402,
  share: { value: 0.5625, lower: 0.2988, upper: 0.8025, level: 0.95 },
  bySure: [
    { sure: 'guess', n: 10, right: 5 },
    { sure: 'fairly', n: 6, right: 4 },
    { sure: 'certain', n: 0, right: 0 },
  ],
};
const quiet: TellTest = {
  of: 'hand-over-time',
  by: 'prototype',
  n: 80,
  statistic: 0.2,
  p: 0.4,
  permutations: 250,
  couldFind: true,
  reason: null,
  detail: [
    { group: 'proto-a', n: 40, value: 4_000 },
    { group: 'proto-b', n: 40, value: 9_100 },
  ],
};
const said = (tells: Partial<TellsFindings>, of: Plan = plan) => {
  const findings = { tells: { guesses: null, tests: [quiet], ...tells } };
  return plain({ ...tellsPart(findings, of), cautions: tellCautions(findings, of) });
};

describe('the closing question', () => {
  test('luck explains it: said in plain words, and nothing on top', () => {
    const { guesses: part, cautions } = said({ guesses });
    expect(part).toEqual({
      sentence:
        '9 of 16 guessed right which one their last sample was; by luck it would be 8 (50 %). 2 had no idea, 2 didn’t say.',
      meaning: 'Luck explains that: no sign that they knew. (56 %, 95 % interval 30 % to 80 %, p 0.402.)',
      bySure: [
        { sure: 'A guess', right: '5 of 10 right' },
        { sure: 'Fairly sure', right: '4 of 6 right' },
      ],
    });
    expect(cautions).toEqual([]);
  });

  test('more than luck: a caution on top', () => {
    const knew = { ...guesses, right: 16, p: 1.5e-5, share: { value: 1, lower: 0.79, upper: 1, level: 0.95 } };
    const [caution, ...others] = said({ guesses: knew }).cautions;
    expect(caution).toContain('16 of 16 guessed right');
    expect(caution).toContain('Luck doesn’t explain that: they knew something, by ear or by a tell.');
    expect(others).toEqual([]);
  });

  test('fewer than luck, nobody at all, and no question', () => {
    const fewer = { ...guesses, right: 1, share: { value: 0.06, lower: 0.01, upper: 0.3, level: 0.95 } };
    expect(said({ guesses: fewer }).cautions.join()).toContain('fewer than luck explains');
    const nobody = { ...guesses, answered: 2, right: 0, p: null, share: null };
    expect(said({ guesses: nobody }).guesses?.sentence).toContain('Nobody said which one');
    expect(said({}).guesses).toBeNull();
  });
});

describe('signs of a tell', () => {
  test('none', () => {
    const { summary, rows, note, cautions } = said({});
    expect(summary).toBe('None at p < 0.01.');
    expect(rows).toEqual([
      { what: 'Wait for a hand-over, by prototype', found: 'As sold 4.0 s · Wide vent 9.1 s', p: '0.400', sign: false },
    ]);
    expect(note).toContain('One look, each of which comes out so by chance in one study of a hundred.');
    expect(cautions).toEqual([]);
  });

  test('one: what it is, and where to look', () => {
    const { summary, rows, cautions } = said({ tests: [{ ...quiet, p: 0.0004 }] });
    const advice =
      'Hand-overs of Wide vent took longer (9.1 s, others 4.0 s): look at how its carriers are loaded, and whether its units were waited for.';
    expect(summary).toBe(`One at p < 0.01: ${advice}`);
    expect(cautions).toEqual([`${advice} (p < 0.001)`]);
    expect(rows[0]?.sign).toBe(true);
  });

  test('of so few that nothing could show, nothing is claimed', () => {
    const few = said({ tests: [{ ...quiet, p: 0.001, couldFind: false }] });
    expect(few.summary).toBe('None, but so little was done that hardly anything could have shown.');
    expect(few.rows[0]?.found).toContain('too few to show anything');
    expect(few.cautions).toEqual([]);
  });

  test.each(['paired-preference', 'abx', 'first-impressions'] as const)('every look of %s has words', (method) => {
    const own = aPlan({ method, units: 2, sessions: 2, audiences: [['home', 8]] });
    const { story, told, outcomes } = seenStudy(own, { seed: 1 });
    const tests = tellTests(story, handled(told, { seed: 1, operators: ['Cy', 'Dee'] }), told, outcomes);
    for (const p of [0.5, 0.001]) {
      const { rows, cautions } = said({ tests: tests.map((one) => (one.p === null ? one : { ...one, p })) }, own);
      expect(rows).toHaveLength(7);
      expect(new Set(rows.map(({ what }) => what)).size).toBe(7);
      expect(JSON.stringify([rows, cautions])).not.toMatch(/undefined|NaN|proto-/);
    }
  });
});
