import { expect, test } from 'vitest';
import { commonPrototypes } from '../../../protocols/common-ground';
import { type LinkedStudies, linkedStudies } from '../../../protocols/linked-studies';
import { countedIn } from '../../../server/review/products/counted';
import { linkedSection } from '../../../server/review/products/linked-section';
import type { Plan } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { verdictWords } from '../../../shared/words/en';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { randomStudy, type Wish } from '../random-study';

/** Two studies through what both compared, with truths that were planted. */

const named = (wish: PlanWish, names: string[]): Plan => {
  const plan = aPlan({ prototypes: names.length, names, ...wish });
  return {
    ...plan,
    prototypes: plan.prototypes.map(({ units, ...one }, i) => ({
      ...one,
      units: units.map((unit) => ({ ...unit, serial: `${names[i]}-1` })),
    })),
  };
};
const worths = (plan: Plan, worth: Record<string, number>): Record<string, number> =>
  Object.fromEntries(plan.prototypes.map(({ id, name }) => [id, worth[name] ?? 0]));
const link = (one: Plan, other: Plan, wishes: [Wish, Wish]): LinkedStudies => {
  const { common } = commonPrototypes(one, other);
  const [before, after] = [one, other].map((plan, i) => countedIn(randomStudy(plan, wishes[i] as Wish).record, 0.95));
  const audience = one.audiences[0]?.id ?? '';
  return linkedStudies(before?.(audience) as never, after?.(audience) as never, common, 0.95);
};

const earlier = named({ repeats: 3, audiences: [['home', 16]] }, ['Bore', 'Vent', 'Foam']);
const later = named({ repeats: 3, audiences: [['home', 16]] }, ['Vent', 'Bore', 'Felt']);

test('what is better than what was there before comes out above it, the common ones unmoved', () => {
  const worth = { Bore: 0, Vent: 0.5, Foam: -1, Felt: 1.5 };
  const found = link(earlier, later, [
    { seed: 1, worth: worths(earlier, worth), truth: { gamma: 0.1 } },
    { seed: 2, worth: worths(later, worth), truth: { gamma: 0.1 } },
  ]);
  expect(found.held.map(({ study, name }) => [study, name])).toEqual([
    ['earlier', 'Foam'],
    ['later', 'Felt'],
  ]);
  const [pair] = found.pairs;
  expect([pair?.first, pair?.second]).toEqual(['Bore', 'Vent']);
  expect(pair?.change?.lower).toBeLessThan(0);
  expect(pair?.change?.upper).toBeGreaterThan(0);
  const [linked] = found.linked;
  expect([linked?.later, linked?.earlier]).toEqual(['Felt', 'Foam']);
  expect(linked?.difference?.lower).toBeGreaterThan(0.2);

  // In words: both figures, the change with its interval, and no word of a verdict.
  const text = said(found);
  expect(text).toMatch(/Bore against Vent, which both have: \d+\u00a0% then and \d+\u00a0% later, a change of/);
  expect(text).toMatch(/Felt \(Second round\) lies \d+\u00a0percentage points above Foam \(First round\)/);
  const words = [...verdicts, ...Object.values(verdictWords).map(({ short }) => short)];
  for (const word of words) expect(text.toLowerCase()).not.toContain(word.toLowerCase());
});

test('a panel that turned round shows in the common pair, and the section says so', () => {
  const found = link(earlier, later, [
    { seed: 3, worth: worths(earlier, { Bore: 2 }), truth: { gamma: 0.1 } },
    { seed: 4, worth: worths(later, { Vent: 2 }), truth: { gamma: 0.1 } },
  ]);
  expect(found.pairs[0]?.change?.upper).toBeLessThan(0);
  const text = said(found);
  expect(text).toContain('not judged alike both times');
});

const said = (found: LinkedStudies): string => {
  const part = linkedSection('Home', found, { earlier: 'First round', later: 'Second round' }, earlier);
  return JSON.stringify({ ...part, charts: part.charts.map(({ caption }) => caption) });
};

test('ratings in points of their scale', () => {
  const wish: PlanWish = { method: 'several-stimuli', audiences: [['home', 20]] };
  const [one, other] = [named(wish, ['Bore', 'Vent', 'Foam']), named(wish, ['Bore', 'Vent', 'Felt'])];
  const scale = one.primary.scale ?? '';
  const truth = (plan: Plan, level: number) => ({
    ratings: { [scale]: worths(plan, { Vent: 1, Foam: 0, Felt: 2.5 }) },
    ...{ residualSd: 0.6, listenerSd: level, interactionSd: 0.3 },
  });
  const found = link(one, other, [
    { seed: 7, truth: truth(one, 0.5) },
    { seed: 8, truth: truth(other, 0.5) },
  ]);
  expect(found.measure).toBe('points');
  expect(found.linked[0]?.difference?.lower).toBeGreaterThan(1);
});

test('asked whether it is heard, both studies tell the same pair', () => {
  const wish: PlanWish = { method: 'abx', trials: 8, audiences: [['home', 12]] };
  const plan = named(wish, ['Bore', 'Vent']);
  const found = link(plan, plan, [
    { seed: 9, truth: { listenersWhoHear: 1, heard: 0.8 } },
    { seed: 10, truth: { listenersWhoHear: 1, heard: 0.1 } },
  ]);
  expect([found.measure, found.held, found.linked]).toEqual(['none', [], []]);
  expect(found.pairs[0]?.change?.upper).toBeLessThan(0);
});
