import { describe, expect, test } from 'vitest';
import { netPreferences } from '../../protocols/net-preferences';
import { analysePairedPreference } from '../../protocols/paired-preference-analysis';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { said } from './simulated-study';

const home = 'home' as AudienceId;
const plan = aPlan({ repeats: 3, looks: { kind: 'sequential', bounds: 'strict' } });
const netOf = (outcomes: readonly Outcome[], options?: { running: boolean }) =>
  netPreferences(outcomes, plan, home, options).answers;
/** Answers of several people, turn and turn about. */
const mixed = (...each: Outcome[][]): Outcome[] =>
  Array.from({ length: Math.max(...each.map(({ length }) => length)) }, (_, i) =>
    each.flatMap((own) => own.slice(i, i + 1)),
  ).flat();

describe('one net answer a listener', () => {
  test('for whichever was preferred more often, whatever was heard first', () => {
    expect(netOf([...said('Ann', 'ab+ ba- ab-'), ...said('Ben', 'ab- ba+ ab+'), ...said('Cy', 'ab0 ba0 ab+')])).toEqual(
      [1, 0, 1],
    );
  });

  test('none from whoever leans to neither', () => {
    expect(netOf([...said('Ann', 'ab+ ba+ ab0'), ...said('Ben', 'ab0 ab0 ab0')])).toEqual([]);
  });

  test('comes with the last of the planned answers, and in that order', () => {
    const ann = said('Ann', 'ab+ ab+ ab+');
    const ben = said('Ben', 'ab- ab- ab-');
    expect(netOf([...ann.slice(0, 2), ...ben, ...ann.slice(2)])).toEqual([0, 1]);
  });

  test('while the study runs nobody counts who has answers to give; in the end what came counts, after all others', () => {
    const ann = said('Ann', 'ab+ ab+');
    const outcomes = [...ann, ...said('Ben', 'ab- ab- ab-')];
    expect(netOf(outcomes, { running: true })).toEqual([0]);
    expect(netOf(outcomes)).toEqual([0, 1]);
  });

  test('an answer that counted while the study ran is never moved or changed by what comes later', () => {
    const outcomes = mixed(
      said('Ann', 'ab+ ab+ ab+'),
      said('Ben', 'ab- ab- ab-'),
      said('Cy', 'ab+'),
      said('Dee', 'ab+ ab- ab+'),
    );
    let before: number[] = [];
    for (let came = 0; came <= outcomes.length; came++) {
      const now = netOf(outcomes.slice(0, came), { running: true });
      expect(now.slice(0, before.length)).toEqual(before);
      before = now;
    }
    expect(netOf(outcomes).slice(0, before.length)).toEqual(before);
    // What is put beyond the plan comes after.
    expect(netOf([...outcomes, ...said('Ann', 'ab- ab- ab- ab-')])).toEqual(netOf(outcomes));
  });

  test('one- or two-sided, as the plan has it, against an even chance', () => {
    const asked = ({ answers: _, ...rest }: ReturnType<typeof netPreferences>) => rest;
    expect(asked(netPreferences([], plan, home))).toEqual({ p0: 0.5, p1: 0.75, alternative: 'two-sided' });
    const oneSided = aPlan({ repeats: 3, risks: { sides: 'one-sided' } });
    expect(asked(netPreferences([], oneSided, home)).alternative).toBe('greater');
  });
});

describe('the verdict of a paired preference with looks', () => {
  const panel = (count: number, words: string, from = 0) =>
    Array.from({ length: count }, (_, i) => said(`L${from + i}`, words)).flat();
  const resultOf = (outcomes: Outcome[]) => analysePairedPreference(outcomes, plan).results[0];

  // ln 40 / ln(0.75/0.5) = 9.1: ten of one mind.
  test('names the one that ten of one mind prefer, either way, and counts nobody after them', () => {
    expect(resultOf([...panel(10, 'ab+ ab+ ab-'), ...panel(4, 'ab- ab- ab-', 10)])).toMatchObject({
      verdict: 'preferred',
      preferred: 'proto-a',
      estimate: { name: 'share-for', value: 1 },
      looks: { decidedAt: 10, counted: 10, after: 4, fixed: { answers: 14 } },
    });
    expect(resultOf(panel(10, 'ab- ab- ab+'))).toMatchObject({ verdict: 'preferred', preferred: 'proto-b' });
    expect(resultOf(panel(9, 'ab- ab- ab+'))).toMatchObject({ verdict: 'not-enough-data', preferred: null });
  });

  test('is undecided where the panel is split, and never that there is nothing', () => {
    const split = mixed(panel(20, 'ab+ ab+ ab+'), panel(20, 'ab- ab- ab-', 20));
    expect(resultOf(split)).toMatchObject({ verdict: 'undecided', preferred: null, looks: { state: 'none-shown' } });
  });

  test('p is 2 over the largest ratio, and the test at the end stands beside', () => {
    const result = resultOf(panel(10, 'ab+ ab+ ab-'));
    expect(result?.p).toBeCloseTo(2 * 1.5 ** -10, 12);
    expect(result?.looks?.fixed.p).toBe(result?.primary?.p);
    expect(result?.primary?.p).toBeCloseTo(2 / 2 ** 10, 12);
  });

  test('decided early, fewer listeners than planned are no fault, and power is that of the plan', () => {
    const wide = aPlan({ repeats: 3, looks: { kind: 'sequential', bounds: 'strict' }, audiences: [['home', 40]] });
    const early = analysePairedPreference(panel(10, 'ab+ ab+ ab-'), wide).results[0];
    const open = analysePairedPreference(panel(9, 'ab+ ab+ ab-'), wide).results[0];
    expect([early?.verdict, open?.verdict]).toEqual(['preferred', 'not-enough-data']);
    expect(early?.warnings.join()).not.toContain('fewer-listeners');
    expect(open?.warnings.join()).toContain('fewer-listeners:9:40');
    expect(early?.power).toBeGreaterThan(0.7);
    expect(open?.power).toBe(0);
  });
});
