import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import type { StudyStory } from '../../../server/blinding/story';
import { boundWords, evidenceWords, ratioWords } from '../../../server/looks-words';
import { looksTaken } from '../../../server/review/looks/letter-part';
import { looksTakenIn } from '../../../server/review/looks/taken';
import type { LedgerEntry } from '../../../shared/record';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { matched, said } from '../../protocols/simulated-study';
import { letterOf, plain } from '../a-result';

/** What the letter says of a plan that was looked at on the way. */

const names = { names: ['Wide vent', 'Closed bore'] };
const abx = (more: PlanWish = {}) =>
  aPlan({
    method: 'abx',
    ...names,
    units: 2,
    looks: { kind: 'sequential', bounds: 'strict' },
    risks: { smallest: { kind: 'heard', value: 0.4 } },
    audiences: [['home', 2]],
    ...more,
  });
const preference = aPlan({
  ...names,
  units: 2,
  looks: { kind: 'sequential', bounds: 'strict' },
  audiences: [['home', 10]],
});
const first = (plan: ReturnType<typeof aPlan>, outcomes: Outcome[]) => {
  const [audience] = letterOf(plan, outcomes);
  if (!audience) throw new Error('There is no audience.');
  return audience;
};
const figure = (of: ReturnType<typeof first>, label: RegExp) => of.figures.find((one) => label.test(one.label))?.value;
const row = (of: ReturnType<typeof first>, label: RegExp) => of.looks?.rows.find((one) => label.test(one.label))?.value;

describe('a difference', () => {
  // ln 20 / ln 1.4 = 8.9: nine right in a row.
  const shown = first(abx(), [...matched('Ann', '+++++++++'), ...matched('Ben', '--+')]);

  test('shown: by which answer, of how many right, with an interval that holds whenever one stops', () => {
    expect(shown.sentence).toMatch(
      /^Home: the difference between Wide vent and Closed bore is heard\. The plan’s test was decided by answer 9: 9 of 9 were right, where guessing alone gives 4\.5 on average, and it was truly heard in 100 % of trials \(95 % interval \d+ % to 100 %, whenever one stops\)\.$/,
    );
    expect(figure(shown, /^Answers counted$/)).toBe('9 of 12');
    expect([row(shown, /^Decided by$/), row(shown, /not counted/), row(shown, /^Upper/), row(shown, /^Lower/)]).toEqual(
      ['answer 9', '3', '20 to 1', '1 to 4.7'],
    );
    expect(shown.looks?.falseAlarms).toBe('False alarms, however often one looks: at most 5 %.');
    expect(shown.looks?.chart?.svg).toContain('decided by answer 9');
    expect(shown.looks?.beside).toMatch(
      /^From here on all 12 answers are counted, .* \(p 0\.0\d+, uncorrected\)\. It decided nothing\.$/,
    );
    // The figures of the chart below are of all twelve, too: ten right or more of twelve, by guessing alone.
    const alone = (1 + 12 + 66) / 2 ** 12;
    expect(shown.difference?.counts.at(-1)?.value).toBe(alone.toFixed(3));
  });

  test('ended without it: undecided, what is still allowed, and never that there is none', () => {
    const ended = first(abx(), matched('Ann', '-+----'));
    expect(ended.verdict).toBe('undecided');
    expect(ended.sentence).toContain(
      'The plan’s test ended without finding the difference. It does not show that there is none: 1 of ',
    );
    expect(ended.alsoPossible).toMatch(
      /^The data still allow a difference that is truly heard in up to \d+ % of trials\.$/,
    );
    expect(JSON.stringify(ended)).not.toMatch(/no difference/i);
  });

  test('out of answers: undecided, and which panel would do', () => {
    const open = first(abx(), matched('Ann', '++-+-++-+'));
    expect(open.sentence).toContain(
      'it is undecided whether the difference between Wide vent and Closed bore is heard. The answers ended before any bound was met: 6 of 9 were right',
    );
    expect(row(open, /^Decided by$/)).toBe('nothing: no bound was met');
    expect(open.alsoPossible).toContain('A new study with');
  });

  test('too few to have shown anything says so', () => {
    expect(first(abx(), matched('Ann', '+++')).sentence).toBe(
      'There are not enough data from Home to say whether the difference between Wide vent and Closed bore is heard: even all for it, 3 answers could not have met the bound at α = 0.05.',
    );
    expect(first(abx(), []).sentence).toContain('no answer came in that counts');
    expect(first(abx(), []).looks?.chart).toBeNull();
  });

  test('where bound, p and interval part, it is said which decides', () => {
    const wald = abx({
      looks: { kind: 'sequential', bounds: 'wald' },
      risks: { smallest: { kind: 'heard', value: 0.2 } },
    });
    // p1 = 0.6: 1.2¹⁶ = 18.5 is above Wald’s bound of 16, and p is 1/18.5 = 0.054.
    const met = first(wald, matched('Ann', '++++++++++++++++'));
    expect(met.verdict).toBe('difference-shown');
    expect(met.warnings).toContain(
      'p is a little above α: Wald’s own bounds may exceed the planned risk so far. The bound decides.',
    );
    expect(met.looks?.falseAlarms).toContain('at most 6.25 %; the plan asks for 5 %');
    expect(shown.warnings.join()).not.toContain('bound decides');
  });
});

describe('a preference', () => {
  const panel = (count: number, words: string, from = 0) =>
    Array.from({ length: count }, (_, i) => said(`L${from + i}`, words)).flat();

  test('shown, for the second as for the first: how many lean that way', () => {
    // ln 40 / ln 1.5 = 9.1: ten of one mind.
    expect(first(preference, panel(10, 'ab-')).sentence).toMatch(
      /^Home: Closed bore is preferred to Wide vent\. The plan’s test was decided by net answer 10: 10 of 10 listeners with a net preference lean to Closed bore, which is 100 % \(95 % interval \d+ % to 100 %, whenever one stops\)\.$/,
    );
    expect(figure(first(preference, panel(10, 'ab+')), /^Listeners leaning to Wide vent$/)).toBe('100 %');
  });

  test('where nobody leans to one, that is said, and not that nobody answered', () => {
    const none = first(preference, panel(6, 'ab0'));
    expect(none.verdict).toBe('not-enough-data');
    expect(none.sentence).toContain('is preferred: no listener had a net preference.');
  });

  test('open: which shares of listeners are still possible', () => {
    const open = first(preference, [...panel(6, 'ab+'), ...panel(4, 'ab-', 6)]);
    expect(open.sentence).toContain(
      'it is undecided whether Wide vent or Closed bore is preferred. The answers ended before any bound was met',
    );
    // Pairs stand beside, as if looked at once, at the end; what they would say is no verdict.
    expect(open.preference?.pairs.map(({ separated }) => separated)).toEqual(['the bound decides']);
    expect(open.alsoPossible).toMatch(/^The data still allow shares of listeners for Wide vent from \d+ % to \d+ %\./);
  });
});

describe('how far answers speak, in words', () => {
  const say = (evidence: number, plan = abx()) => plain(evidenceWords(evidence, plan));

  test('for, against and neither', () => {
    expect(say(Math.log(7.4))).toBe(
      'The answers so far are 7.4 times as likely if the difference is truly heard in 40 % of trials as by guessing alone.',
    );
    expect(say(-Math.log(3))).toBe(
      'The answers so far are 3 times as likely by guessing alone as if the difference is truly heard in 40 % of trials.',
    );
    expect(say(0)).toContain('are as likely if');
  });

  test('of a preference they never say which', () => {
    expect(say(Math.log(12), preference)).toBe(
      'The answers so far are 12 times as likely if one of the two is preferred by 75 % as if neither is preferred.',
    );
    expect(say(2, { ...preference, looks: { kind: 'always-valid' } })).toContain('if there is a preference as');
  });

  test('bounds by their ratios, and that there may be no lower one', () => {
    expect(plain(boundWords({ upper: Math.log(20), lower: -Math.log(4.75) }, abx()))).toBe(
      'At 20 times as likely the difference is shown; at 4.8 times as likely by guessing alone the test ends without it.',
    );
    expect(boundWords({ upper: Math.log(20), lower: null }, abx())).toContain('no bound at which it ends without');
  });

  test.each([
    [Math.log(1.25), '1.25'],
    [Math.log(9.96), '10'],
    [Math.log(1234), '1,234'],
    [20, 'over a million'],
  ])('%d is %s', (log, words) => {
    expect(ratioWords(log)).toBe(words);
  });
});

describe('who looked', () => {
  const entry = (seq: number, kind: string, body: LedgerEntry['body'], actor = 'staff:Bo'): LedgerEntry => ({
    seq,
    at: `2026-03-02T09:0${seq % 10}:00.000Z`,
    actor,
    kind,
    body,
    previous: '',
    hash: '',
  });
  const audiences = [{ audience: 'home', state: 'go-on', counted: 1, evidence: 0.3, upper: 3, lower: -1.6 }];
  const story = (plan = abx(), operators = ['Ada']) => ({ plan, operators }) as StudyStory;
  const ledger = [
    entry(1, 'answered', { trial: 'T1' }),
    entry(2, 'answered', { trial: 'T2', practice: true }),
    entry(3, 'trial-voided', { trial: 'T0' }),
    entry(4, 'looked', { upTo: 3, audiences }),
    entry(5, 'answered', { trial: 'T3' }),
    entry(6, 'trial-voided', { trial: 'T1' }),
    entry(7, 'trial-voided', { trial: 'T2' }),
    entry(8, 'trial-voided', { trial: 'T3' }),
    entry(9, 'looked', { upTo: 8, audiences }, 'staff:Ada'),
  ];

  test('by name and time, with what was shown; of voided answers those that a look had counted', () => {
    const looks = looksTakenIn(ledger, story());
    expect(looks).toMatchObject({ alsoAtDesk: ['Ada'], voidedSince: 1 });
    expect(looks?.taken.map(({ by, upTo }) => [by, upTo])).toEqual([
      ['Bo', 3],
      ['Ada', 8],
    ]);
    const part = plain(looksTaken({ looks }, abx()));
    expect(part?.lead).toBe('Sequential (Wald), the upper bound kept strictly. Bo and Ada looked 2 times on the way.');
    expect(part?.rows[0]).toEqual({ who: 'Bo', at: '2026-03-02, 09:04 UTC', shown: 'go on, 1 counted' });
    expect(part?.notes).toEqual([
      'Ada looked and ran the desk, which is not meant to know how the answers stand.',
      '1 answer that a look had counted was voided afterwards, and counts no more.',
    ]);
  });

  test('nobody, which is said; and nothing where a plan has no looks', () => {
    const looks = looksTakenIn([], story());
    expect(looksTaken({ looks }, abx())?.lead).toContain('Nobody looked on the way.');
    const fixed = abx({ looks: { kind: 'fixed' } });
    expect(looksTakenIn([], story(fixed))).toBeUndefined();
    expect(looksTaken({}, fixed)).toBeNull();
  });
});
