import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { priceStepsSections } from '../../../server/review/price-steps/sections';
import type { PriceStepsFindings } from '../../../shared/findings-price-steps';
import type { Plan } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { verdictWords } from '../../../shared/words/en';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { randomStudy, type Wish } from '../random-study';

/** Steps between price classes, in studies whose truth was planted. */

const priced = (wish: PlanWish, ranks: readonly [rank: number, words: string][]): Plan => {
  const plan = aPlan(wish);
  return {
    ...plan,
    prototypes: plan.prototypes.map((prototype, i) => {
      const [rank, words] = ranks[i] ?? [0, ''];
      return rank === 0 ? prototype : { ...prototype, priceClass: { rank, words } };
    }),
  };
};
const ladder = [
  [1, 'entry'],
  [2, 'middle'],
  [3, 'flagship'],
] as const;
const classes = ladder.map(([rank, words]): [number, string] => [rank, words]);
const stepsOf = (plan: Plan, wish: Wish): PriceStepsFindings => {
  const { priceSteps } = findingsOf(randomStudy(plan, wish).record, { resamples: 100 });
  return priceSteps?.[0] as PriceStepsFindings;
};
const plateau = { worth: { A: 0, B: 2.5, C: 2.5 } };

describe('a plateau after the second class', () => {
  test('paired preference: the first step buys something, the last nothing that is seen', () => {
    const plan = priced({ prototypes: 3, repeats: 4, audiences: [['home', 24]] }, classes);
    const [ids, worth] = [plan.prototypes.map(({ id }) => id), [0, 2.5, 2.5]];
    const found = stepsOf(plan, { seed: 3, worth: Object.fromEntries(ids.map((id, i) => [id, worth[i] ?? 0])) });
    const [first, last] = found.steps;
    expect(found.measure).toBe('share');
    expect(first?.gain?.lower).toBeGreaterThan(0.5);
    expect(first?.pAdjusted).toBeLessThan(0.05);
    // Of two steps the clearer one is counted double.
    expect(first?.pAdjusted).toBeCloseTo(2 * (first?.p ?? 0), 12);
    expect(last?.gain?.lower).toBeLessThan(0.5);
    expect(last?.gain?.upper).toBeGreaterThan(0.5);
    expect(last?.pAdjusted).toBeGreaterThan(0.05);
    const [part] = priceStepsSections(found, plan);
    expect(part?.sentences[0]).toMatch(
      /^The last step from middle to flagship buys this: the dearer is chosen in \d+\u00a0% of comparisons \(95\u00a0% interval \d+\u00a0% to \d+\u00a0%; p = [01]\.\d+, corrected\)\. The interval takes in half/,
    );
  });

  test('ratings: in points of the scale that the verdict rests on', () => {
    const plan = priced({ method: 'several-stimuli', prototypes: 3, audiences: [['home', 24]] }, classes);
    const scale = plan.primary.scale ?? '';
    const ids = plan.prototypes.map(({ id }) => id);
    const ratings = { [scale]: Object.fromEntries(ids.map((id, i) => [id, i === 0 ? -2 : 1])) };
    const found = stepsOf(plan, { seed: 5, truth: { ratings, residualSd: 0.7, listenerSd: 0.5, interactionSd: 0.4 } });
    const [first, last] = found.steps;
    expect([found.measure, found.scale]).toEqual(['points', scale]);
    expect(first?.gain?.lower).toBeGreaterThan(2);
    expect(last?.gain?.lower).toBeLessThan(0);
    expect(last?.gain?.upper).toBeGreaterThan(0);
  });
});

test('a ranking tells how often the dearer stands ahead', () => {
  const plan = priced({ method: 'ranking', prototypes: 3, audiences: [['home', 16]] }, classes);
  const ids = plan.prototypes.map(({ id }) => id);
  const found = stepsOf(plan, {
    seed: 2,
    truth: { gamma: 0.1 },
    worth: { [ids[0] as string]: 0, [ids[1] as string]: 0, [ids[2] as string]: 4 },
  });
  expect(found.measure).toBe('ranked');
  expect(found.steps[1]?.gain?.lower).toBeGreaterThan(0.5);
  expect(found.steps[1]?.listeners).toBe(16);
});

test('asked whether it is heard, the share heard stands there, and nothing of what it is worth', () => {
  const plan = priced({ method: 'abx', trials: 8, audiences: [['home', 12]] }, [
    [1, 'entry'],
    [4, 'flagship'],
  ]);
  const { priceSteps, results } = findingsOf(
    randomStudy(plan, { seed: 8, truth: { listenersWhoHear: 1, heard: 0.7 } }).record,
    { resamples: 100 },
  );
  const [found] = priceSteps ?? [];
  const [step] = found?.steps ?? [];
  expect([found?.measure, step?.primary, step?.gain, step?.p]).toEqual(['none', true, null, null]);
  expect(step?.toldApart).toMatchObject({ by: 'right-answers', estimate: results[0]?.difference?.heard });
  const text = JSON.stringify(priceStepsSections(found as PriceStepsFindings, plan)[0]?.sentences);
  expect(text).toMatch(/truly heard in \d+\u00a0% of trials/);
  expect(text).toMatch(/wasn’t asked/);
  expect(text).toMatch(/the comparison that the verdict above is about/);
});

test('several prototypes in one class: all pairs, listener by listener', () => {
  const plan = priced({ prototypes: 3, repeats: 2, audiences: [['home', 10]] }, [
    [1, 'entry'],
    [2, 'middle'],
    [2, 'middle'],
  ]);
  const found = stepsOf(plan, { seed: 4 });
  expect(found.classes.map(({ prototypes }) => prototypes.length)).toEqual([1, 2]);
  expect(found.steps.map(({ pairs, primary }) => [pairs.length, primary])).toEqual([[2, false]]);
});

test('with “no preference” and identical pairs it is told how much oftener one was preferred at all', () => {
  const plan = priced(
    {
      prototypes: 3,
      repeats: 2,
      audiences: [['home', 16]],
      noPreference: { offered: true, rule: 'split' },
      controls: { identicalPairs: 2 },
    },
    classes,
  );
  const found = stepsOf(plan, { seed: 6 });
  expect(found.steps.map(({ toldApart }) => toldApart?.by)).toEqual(['identical-pairs', 'identical-pairs']);
  expect(found.steps.every(({ toldApart }) => toldApart?.pAdjusted !== null)).toBe(true);
});

describe('nothing to say', () => {
  test.each<[string, [number, string][]]>([
    ['without classes', []],
    [
      'all of one class',
      [
        [1, 'entry'],
        [1, 'entry'],
      ],
    ],
  ])('%s', (_what, ranks) => {
    expect(findingsOf(randomStudy(priced({}, ranks), { seed: 1 }).record).priceSteps).toBeUndefined();
  });
});

test('only the sittings that count are counted', () => {
  const plan = priced({ prototypes: 3, sessions: 2, audiences: [['home', 10]] }, classes);
  const wish = { seed: 9 };
  const first = stepsOf({ ...plan, verdictDays: { from: 1, to: 1 } }, wish);
  const all = stepsOf(plan, wish);
  expect(first.steps.map(({ gain }) => gain)).not.toEqual(all.steps.map(({ gain }) => gain));
});

test('an interval that its p doesn’t bear out is said so', () => {
  const plan = priced({ prototypes: 3, repeats: 4, audiences: [['home', 24]] }, classes);
  const found = stepsOf(plan, { seed: 3 });
  const [first, last] = found.steps;
  if (!first || !last?.gain) throw new Error('no step');
  const gain = { ...last.gain, lower: 0.51, upper: 0.9 };
  const said = (pAdjusted: number) =>
    priceStepsSections({ ...found, steps: [first, { ...last, gain, pAdjusted }] }, plan)[0]?.sentences[0];
  expect(said(0.125)).toMatch(/The interval leaves out half.*, but its p doesn’t bear that out\.$/);
  expect(said(0.01)).toMatch(/The interval leaves out half, which would be nothing gained\.$/);
});

test('no word of a verdict, and it says that it explores', () => {
  const plan = priced({ prototypes: 3, audiences: [['home', 12]] }, classes);
  const [part] = priceStepsSections(stepsOf(plan, { seed: 3, ...plateau }), plan);
  const text = JSON.stringify({ ...part, charts: part?.charts.map(({ caption }) => caption) });
  expect(part?.note).toContain('Explores, and decides nothing.');
  const said = Object.values(verdictWords).map(({ short }) => short);
  for (const word of [...verdicts, ...said]) expect(text.toLowerCase()).not.toContain(word.toLowerCase());
  expect(part?.charts[0]?.svg).toContain('nothing gained');
});
