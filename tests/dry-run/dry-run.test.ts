import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { usualDraws } from '../../server/dry-run/chunk';
import { dryRun } from '../../server/dry-run/dry-run';
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

test('the same seed gives the same figures on one thread, on three and on none; another seed gives others', async () => {
  const asked = { plan: abx, truth: hearing, seed: 7, panels: 90, draws: 20, whole: 30 };
  const [one, three] = await Promise.all([1, 3].map((threads) => dryRun(asked, { threads })));
  const here = dryRunHere(asked);
  expect(JSON.stringify(timeless(one as never))).toBe(JSON.stringify(timeless(here)));
  expect(JSON.stringify(timeless(three as never))).toBe(JSON.stringify(timeless(here)));
  expect(dryRunHere({ ...asked, seed: 8 }).intervalWidth).not.toBe(here.intervalWidth);
});

test('says how far it has got, and stops when it is told to, with the reason', async () => {
  const stop = new AbortController();
  const seen: number[] = [];
  const running = dryRun(
    { plan: abx, truth: {}, seed: 1, panels: 100_000 },
    {
      threads: 1,
      signal: stop.signal,
      progress: (panels) => {
        seen.push(panels);
        stop.abort(new Error('enough'));
      },
    },
  );
  await expect(running).rejects.toThrow('enough');
  expect(seen).toEqual([100_000 / usualDraws]);
  await expect(
    dryRun({ plan: abx, truth: {}, seed: 1, panels: 10 }, { threads: 1, signal: stop.signal }),
  ).rejects.toThrow('enough');
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
