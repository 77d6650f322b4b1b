import { describe, expect, test } from 'vitest';
import { pooledPlan, together } from '../../protocols/pooling';
import { sizedPlan } from '../../protocols/sized-plan';
import { blindPlanOf } from '../../server/blind-plan';
import { amend } from '../../server/plan/amended-plan';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { type Draft, draftFromForm } from '../../server/plan/draft';
import { changeParts } from '../../server/plan/draft-parts';
import { findsOf } from '../../server/plan/finds';
import { withOwnIds } from '../../server/plan/own-ids';
import { planSummary } from '../../server/plan/plan-summary';
import { draftFromPlan, openDraft } from '../../server/plan/saved-draft';
import { planText } from '../../server/plan-text';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';

/** What a plan says of a product, of prices, of the sittings that count and of all audiences together. */

const plain = aPlan({
  prototypes: 3,
  audiences: [
    ['home', 8],
    ['stage', 6],
  ],
  sessions: 3,
  gapHours: 18,
});
const fields = {
  title: plain.title,
  product: 'Nave',
  'prototypes.0.priceClass.rank': '1',
  'prototypes.0.priceClass.words': 'entry',
  'prototypes.1.priceClass.rank': '2',
  'prototypes.1.priceClass.words': 'middle',
  'prototypes.2.priceClass.rank': '2',
  'prototypes.2.priceClass.words': 'middle',
  pooling: 'if-alike',
  verdictDays: 'later',
};
const typed = (values: Record<string, string>, plan = plain): Draft =>
  draftFromForm(draftFromPlan(plan, null), { title: plan.title, ...values });
const planOf = (values: Record<string, string>): Plan => {
  const { plan, problems } = checkPlan(candidate(typed(values)));
  if (!plan) throw new Error(JSON.stringify(problems));
  return plan;
};
const problemsOf = (values: Record<string, string>, plan = plain) =>
  checkPlan(candidate(typed(values, plan))).problems.map(({ path, message }) => [path, message]);

const whole = planOf(fields);

test('typed, they stand in the plan; left empty, none of them does', () => {
  expect(whole).toMatchObject({
    product: 'Nave',
    prototypes: [
      { priceClass: { rank: 1, words: 'entry' } },
      { priceClass: { rank: 2, words: 'middle' } },
      { priceClass: { rank: 2, words: 'middle' } },
    ],
    pooling: 'if-alike',
    verdictDays: { from: 2, to: 3 },
  });
  expect(planOf({})).toEqual(plain);
});

test.each([
  ['first', { from: 1, to: 1 }],
  ['last', { from: 3, to: 3 }],
  ['range', { from: 1, to: 2 }],
])('sittings that count: %s', (kind, days) => {
  const { verdictDays } = planOf({ verdictDays: kind, 'verdictDays.from': '1', 'verdictDays.to': '2' });
  expect(verdictDays).toEqual(days);
  const again = draftFromPlan({ ...plain, verdictDays: days }, null);
  expect(again.verdictDays.kind).toBe(kind);
});

test('a draft that was kept, a follow-up and a plan brought from elsewhere have them again', () => {
  const draft = typed(fields);
  expect(openDraft(JSON.stringify(draft))).toEqual(draft);
  expect(candidate(draftFromPlan(whole, null))).toEqual(whole);
  const { product, prototypes, pooling, verdictDays } = withOwnIds(whole);
  expect({ product, pooling, verdictDays }).toEqual({
    product: 'Nave',
    pooling: 'if-alike',
    verdictDays: { from: 2, to: 3 },
  });
  expect(prototypes.map(({ priceClass }) => priceClass?.rank)).toEqual([1, 2, 2]);
});

test('a class goes with its prototype', () => {
  const { prices, prototypes } = changeParts(typed(fields), 'remove-prototype:1');
  expect(prototypes.map(({ id }) => prices[id]?.rank)).toEqual(['2', '2']);
});

describe('what doesn’t fit is told by its field', () => {
  test.each<[string, Record<string, string>, string, RegExp]>([
    [
      'one prototype without a class',
      { ...fields, 'prototypes.2.priceClass.rank': '', 'prototypes.2.priceClass.words': '' },
      'prototypes.2.priceClass.rank',
      /has no price class, and others have/,
    ],
    [
      'a class by two names',
      { ...fields, 'prototypes.2.priceClass.words': 'mid' },
      'prototypes.2.priceClass.words',
      /class 2 is called “middle” and “mid”/,
    ],
    [
      'two classes of one name',
      { ...fields, 'prototypes.1.priceClass.words': 'Entry', 'prototypes.2.priceClass.words': 'Entry' },
      'prototypes.1.priceClass.words',
      /“Entry” is price class 1 and 2/,
    ],
    [
      'a rank that there isn’t',
      { ...fields, 'prototypes.0.priceClass.rank': '10' },
      'prototypes.0.priceClass.rank',
      /price class of prototype 1 must be at most 9/,
    ],
    [
      'words without a rank',
      { ...fields, 'prototypes.0.priceClass.rank': '' },
      'prototypes.0.priceClass.rank',
      /price class of prototype 1 is missing/,
    ],
    ['a product that reads like a code', { product: '417' }, 'product', /product 417 reads like the code/],
    [
      'together by a rule that there isn’t',
      { pooling: 'always' },
      'pooling',
      /all audiences together get a verdict must be/,
    ],
    [
      'together with looks',
      { ...fields, verdictDays: 'all', 'looks.kind': 'always-valid', 'risks.smallest.value': '0.75' },
      'pooling',
      /can’t be decided by a look/,
    ],
    ['no choice at all', { verdictDays: 'some' }, 'verdictDays', /Which sittings the verdict counts/],
    [
      'a sitting by no number',
      { verdictDays: 'range', 'verdictDays.from': 'two', 'verdictDays.to': '3' },
      'verdictDays.from',
      /first sitting that the verdict counts/,
    ],
  ])('%s', (_what, values, path, message) => {
    const found = problemsOf(values).find((problem) => problem[0] === path);
    expect(found?.[1]).toMatch(message);
  });

  test('together with one audience alone, from a document', () => {
    const alone = { ...plain, audiences: plain.audiences.slice(0, 1), pooling: 'if-alike' };
    expect(checkPlan(alone).problems.map(({ path }) => path)).toEqual(['pooling']);
    // By the page the question goes with the audience.
    expect(problemsOf({ pooling: 'if-alike' }, aPlan({}))).toEqual([]);
  });
});

describe('what it costs stands on the plan page', () => {
  test('all together are one audience more, and α is split over one question more', () => {
    const pooled = findsOf({ ...plain, pooling: 'if-alike' });
    expect(pooled.audiences.map(({ name, listeners }) => [name, listeners])).toEqual([
      ['Home', 8],
      ['Stage', 6],
      ['All audiences together', 14],
    ]);
    expect(pooled.assumption).toContain('α\u00a0=\u00a00.017');
    expect(pooled.assumption).toContain('isn’t shown that they answer differently');
    const apart = findsOf(plain);
    expect(apart.assumption).toContain('α\u00a0=\u00a00.025');
    const chance = (finds: typeof apart) => finds.audiences[0]?.power.find(({ smallest }) => smallest)?.percent ?? 0;
    expect(chance(pooled)).toBeLessThanOrEqual(chance(apart));
    const { audiences } = planSummary({ ...plain, pooling: 'if-alike' });
    expect(audiences.map(({ audience }) => audience)).toEqual(['home', 'stage', together]);
  });

  test('sittings that don’t count add nothing, and take their minutes all the same', () => {
    const first = { ...plain, verdictDays: { from: 1, to: 1 } };
    const one = { ...plain, sessions: { ...plain.sessions, count: 1 } };
    expect(findsOf(first).audiences).toEqual(findsOf(one).audiences);
    expect(findsOf(first).minutes).toBe(findsOf(plain).minutes);
    expect(findsOf(first).sittingsWords).toBe(findsOf(plain).sittingsWords);
    expect(findsOf(first).assumption).toContain('1 of 3');
    expect(planSummary(first).trials).toBe(planSummary(one).trials);
  });

  test('a plan that is sized is sized once', () => {
    expect(sizedPlan(sizedPlan(whole))).toEqual(sizedPlan(whole));
    expect(pooledPlan(sizedPlan(whole))).toEqual(sizedPlan(whole));
    expect(sizedPlan(plain)).toEqual(plain);
  });
});

test('the plan in words', () => {
  const text = planText(whole);
  expect(text).toMatch(/Product +Nave/);
  expect(text).toMatch(/price class 2, middle/);
  expect(text).toMatch(/The verdict counts +Each listener’s sittings 2 to 3/);
  expect(text).toMatch(/All audiences together +A verdict of their own where it isn’t shown/);
  expect(text).toContain('over the 2 audiences and all of them together by Holm');
});

test('the product may be named afterwards, and prices, days and audiences together may not', () => {
  const draft = typed({ ...fields, product: 'Nave' });
  const { plan, changes } = amend(plain, draft, { places: {}, held: 0 }) as { plan: Plan; changes: unknown[] };
  expect(changes).toEqual([{ path: 'product', from: null, to: 'Nave' }]);
  expect(plan).toEqual({ ...plain, product: 'Nave' });
  const back = amend(plan, typed({ product: '' }, plan), { places: {}, held: 0 }) as { plan: Plan; changes: unknown[] };
  expect(back).toMatchObject({ plan: plain, changes: [{ path: 'product', from: 'Nave', to: null }] });
});

test('phones and desk are told none of it', () => {
  const said = JSON.stringify(blindPlanOf({ plan: JSON.stringify(whole) }));
  for (const word of ['Nave', 'entry', 'middle', 'priceClass', 'product']) expect(said).not.toContain(word);
});
