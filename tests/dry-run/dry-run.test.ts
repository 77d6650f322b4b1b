import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { checkTruth } from '../../server/dry-run/truth';
import { root } from '../../server/root';
import { dryRunSchema } from '../../shared/dry-run';
import { planSchema } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { dryRunHere } from './here';

/** Thousands of panels, on threads. */

const example = (name: string): unknown =>
  JSON.parse(readFileSync(join(root, 'shared/formats', `${name}.example.json`), 'utf8'));
const abx = aPlan({ method: 'abx', trials: 4, audiences: [['home', 5]] });
const hearing = { listenersWhoHear: 0.8, heard: 0.6 };
const timeless = <T extends { seconds: number }>({ seconds: _, ...rest }: T) => rest;

test('the same seed gives the same figures, another seed others, and every panel other answers', () => {
  const asked = { plan: abx, truth: hearing, seed: 7, panels: 60, draws: 10, whole: 20 };
  const once = dryRunHere(asked);
  expect(dryRunHere(asked)).toEqual(once);
  expect(dryRunHere({ ...asked, seed: 8 }).intervalWidth).not.toBe(once.intervalWidth);
  // Were all panels alike, whatever they come to would be all or nothing.
  expect(once.power).toBeGreaterThan(0);
  expect(once.power).toBeLessThan(1);
});

test('the example is what its plan and its truth give', () => {
  const plan = planSchema.parse(example('plan-abx'));
  const { truth } = checkTruth(example('truth'), plan);
  const { seconds: _, ...found } = dryRunSchema.parse(example('dry-run'));
  const { seed, panels } = found;
  expect(timeless(dryRunHere({ plan, truth: truth ?? {}, seed, panels }))).toEqual(found);
});

test('shares add up to one, and withIntervals counts the panels whose intervals were worked out', () => {
  for (const [panels, whole] of [
    [1, 1],
    [3, 3],
    [9, 8],
    [16, 8],
  ] as const) {
    const found = dryRunHere({ plan: abx, truth: {}, seed: 3, panels, draws: Math.min(panels, 4), whole: 6 });
    expect(Object.values(found.verdicts).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 12);
    expect(found.withIntervals).toBe(whole);
    expect(dryRunSchema.safeParse(found).error).toBeUndefined();
  }
});

test('over two audiences false alarms are those in either', () => {
  const audiences: [string, number][] = [
    ['home', 4],
    ['stage', 4],
  ];
  const plan = aPlan({ method: 'abx', trials: 6, audiences, risks: { alpha: 0.2 } });
  const { falseAlarms, audiences: each } = dryRunHere({ plan, truth: {}, seed: 5, panels: 400, draws: 10, whole: 1 });
  const alone = each.map((one) => one.falseAlarms ?? 0);
  expect(falseAlarms).toBeGreaterThan(Math.max(...alone));
  expect(falseAlarms).toBeLessThanOrEqual(alone.reduce((sum, one) => sum + one, 0) + 1e-12);
});
