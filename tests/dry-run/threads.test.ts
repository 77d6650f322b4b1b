import { expect, test } from 'vitest';
import { usualDraws } from '../../server/dry-run/chunk';
import { dryRun } from '../../server/dry-run/dry-run';
import { aPlan } from '../blinding/a-plan';
import { dryRunHere } from './here';

/** Dry runs on threads of their own, with the script of the bundle. */

const abx = aPlan({ method: 'abx', trials: 4, audiences: [['home', 5]] });
const timeless = <T extends { seconds: number }>({ seconds: _, ...rest }: T) => rest;

test('the same seed gives the same figures on one thread, on three and on none', async () => {
  const asked = { plan: abx, truth: { listenersWhoHear: 0.8, heard: 0.6 }, seed: 7, panels: 90, draws: 20, whole: 30 };
  const [one, three] = await Promise.all([1, 3].map((threads) => dryRun(asked, { threads })));
  const here = dryRunHere(asked);
  expect(JSON.stringify(timeless(one as never))).toBe(JSON.stringify(timeless(here)));
  expect(JSON.stringify(timeless(three as never))).toBe(JSON.stringify(timeless(here)));
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
  expect(seen).toEqual([Math.ceil(100_000 / usualDraws)]);
  await expect(
    dryRun({ plan: abx, truth: {}, seed: 1, panels: 10 }, { threads: 1, signal: stop.signal }),
  ).rejects.toThrow('enough');
});
