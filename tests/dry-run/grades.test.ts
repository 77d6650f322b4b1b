import { describe, expect, test } from 'vitest';
import { ownFields, readChoice } from '../../server/dry-run/choice';
import { chosenTruth, withEffect } from '../../server/dry-run/chosen-truth';
import { trueValueOf } from '../../server/dry-run/true-value';
import { choicesOf, ownWords } from '../../server/dry-run/words';
import type { TruthDocument } from '../../shared/truth';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { dryRunHere } from './here';

/** Methods that ask for grades, played: one of each kind of answer. */

const panel: PlanWish = { audiences: [['home', 16]], sessions: 1 };
const wide = aPlan({
  ...panel,
  method: 'reference-and-anchors',
  anchors: [7_000, 3_500],
  prototypes: 3,
  primary: [1, 2],
  trials: 2,
  screening: true,
});
const against = aPlan({ ...panel, method: 'small-impairments', rounds: 5 });
const five = aPlan({ ...panel, method: 'absolute-rating', rounds: 2 });
const pair = aPlan({ ...panel, method: 'comparison-rating', rounds: 2 });
const words = aPlan({ ...panel, method: 'check-all', attributes: ['warm', 'dry'], rounds: 2 });

test.each([
  ['0 to 100, with a reference that everybody finds', wide],
  ['1 to 5, one at a time', five],
  ['the second beside the first', pair],
  ['words', words],
])('%s: what is plainly there is found, and nothing where nothing is', (_, plan) => {
  const played = { plan, seed: 1, panels: 8, draws: 2, whole: 2 };
  const found = dryRunHere({ ...played, truth: chosenTruth(plan, 'plain') });
  expect(found.unused).toEqual([]);
  expect(found.power).toBeGreaterThan(0.8);
  expect(found.wrongWay).toBe(0);
  expect(found.intervalWidth).toBeGreaterThan(0);
  expect(dryRunHere({ ...played, truth: chosenTruth(plan, 'nothing') }).falseAlarms).toBeLessThan(0.3);
});

describe('what there is to hear', () => {
  test('lies as far apart as was chosen, in the measure of the scale, and noise goes with it', () => {
    const value = (plan: typeof five, name = 'difference') => trueValueOf(plan, chosenTruth(plan, 'smallest'), name);
    const { screening: _, ...spec } = wide.method.spec as { screening: boolean };
    const unscreened = { ...wide, method: { ...wide.method, spec: { ...spec, screening: false } } };
    // Ends of scales take a little of it.
    expect(value(five)).toBeCloseTo(0.5, 1);
    expect(Math.abs((value(unscreened) ?? 0) - 10)).toBeLessThan(1.5);
    expect(value(pair)).toBeCloseTo(1, 0);
    expect(value(words, 'ticked')).toBeCloseTo(0.3, 9);
    expect(chosenTruth(wide, 'smallest').residualSd).toBeCloseTo(100 / 6, 9);
    expect(chosenTruth(five, 'smallest').residualSd).toBeCloseTo(4 / 6, 9);
  });

  test('nothing is better than an open reference, and anchors are worse than all', () => {
    const { ratings = {} } = chosenTruth(wide, 'plain');
    const quality = ratings.quality ?? {};
    const [low = '', middle = ''] = wide.prototypes
      .filter(({ anchor }) => anchor)
      .map(({ id }) => id)
      .reverse();
    expect(quality['proto-a']).toBeGreaterThan(50);
    expect(quality[low]).toBeLessThan(quality[middle] ?? 0);
    expect(quality[middle]).toBeLessThan(quality['proto-c'] ?? 0);
    // Beside the reference the other lies below its very top.
    const below = withEffect(against, 1).ratings?.impairment ?? {};
    expect(below['proto-b']).toBeCloseTo(2 - 1, 9);
    const level = chosenTruth(against, 'nothing').ratings?.impairment ?? {};
    expect(level['proto-a']).toBe(level['proto-b']);
    const turned = { ...against, primary: { ...against.primary, first: 'proto-b', second: 'proto-a' } };
    expect(choicesOf(turned).find((one) => one.value === 'smallest')?.hint).toMatch(
      /Prototype A is felt 0.5\u00a0points above Prototype B/,
    );
  });

  test('one’s own effect is asked in points of the scale, or in listeners who tick', () => {
    expect(ownFields(wide)).toEqual([{ name: 'points', min: 0, max: 100, usual: 6 }]);
    expect(ownFields(five)).toEqual([{ name: 'points', min: 0, max: 4, usual: 0.3 }]);
    expect(ownFields(words)).toEqual([{ name: 'ticked', min: 0, max: 99, usual: 30 }]);
    const { given } = readChoice({ truth: 'own', panels: '1000', ticked: '40' }, words) as { given: TruthDocument };
    expect(trueValueOf(words, given, 'ticked')).toBeCloseTo(0.4, 9);
    expect(ownWords(words, given)).toBe(
      'The word is ticked for Prototype A by 40\u00a0% of listeners more than for Prototype B.',
    );
    const { problems } = readChoice({ truth: 'own', panels: '1000', points: '5' }, five);
    expect(problems[0]).toMatchObject({ path: 'points', allowed: '0 to 4', got: '5' });
  });
});
