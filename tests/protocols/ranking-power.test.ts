import { expect, test } from 'vitest';
import { analyseRanking } from '../../protocols/ranking-analysis';
import { assumedRankingGamma, rankingFinds, rankingPower, rankingSize } from '../../protocols/ranking-power';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { wholeStudy } from './whole-study';

const planOf = (spec: { size: number; rankings: number; predicted: boolean }, wish: PlanWish) =>
  aPlan({ method: 'ranking', spec, ...wish });
const complete = planOf({ size: 4, rankings: 2, predicted: false }, { prototypes: 4, audiences: [['home', 12]] });
const blocks = planOf({ size: 3, rankings: 2, predicted: false }, { prototypes: 4, audiences: [['home', 12]] });

test.each([
  ['complete', complete, 12, 0.8],
  ['in blocks', blocks, 12, 0.8],
])('%s: what the plan page says of power is what whole studies come to', (_, plan, listeners, share) => {
  const studies = 60;
  const half = Math.log(share / (1 - share)) / 2;
  const truth = { worth: { 'proto-a': half, 'proto-b': -half }, gamma: assumedRankingGamma };
  let found = 0;
  for (let study = 0; study < studies; study++) {
    const outcomes = wholeStudy(plan, [truth], `power ${study}`);
    if (analyseRanking(outcomes, plan, { verdictOnly: true }).results[0]?.verdict === 'preferred') found++;
  }
  const stated = rankingPower(plan, listeners, share);
  expect(stated).toBeGreaterThan(0.2);
  expect(stated).toBeLessThan(0.98);
  // Both are simulated: four standard errors of their difference, and what the approximation of p may cost.
  const error = Math.sqrt(stated * (1 - stated) * (1 / studies + 1 / 400));
  expect(Math.abs(found / studies - stated)).toBeLessThan(4 * error + 0.03);
});

test('more listeners, a larger share, a predicted order: more power; and the size is where it is reached', () => {
  const of = (listeners: number, share = 0.75) => rankingPower(complete, listeners, share);
  expect(of(8)).toBeLessThan(of(16));
  expect(of(12, 0.7)).toBeLessThan(of(12, 0.8));
  const predicted = planOf(
    { size: 4, rankings: 2, predicted: true },
    { prototypes: 4, risks: { sides: 'one-sided' }, primary: [0, 3] },
  );
  expect(rankingPower(predicted, 12, 0.75)).toBeGreaterThan(of(12));
  const needed = rankingSize(complete) as number;
  expect(of(needed)).toBeGreaterThanOrEqual(0.8);
  expect(of(needed - 1)).toBeLessThan(0.8);
  // Whole designs only.
  expect((rankingSize(blocks) as number) % 2).toBe(0);
  const hardly = planOf(
    { size: 4, rankings: 1, predicted: false },
    { prototypes: 4, risks: { smallest: { kind: 'share', value: 0.51 } } },
  );
  expect(rankingSize(hardly)).toBeNull();
});

test('every audience has its figures, the plan’s smallest share among them', () => {
  const plan = planOf(
    { size: 3, rankings: 1, predicted: false },
    {
      prototypes: 3,
      audiences: [
        ['home', 12],
        ['stage', 24],
      ],
    },
  );
  const [home, stage] = rankingFinds(plan);
  expect([home?.listeners, stage?.listeners, home?.alpha]).toEqual([12, 24, 0.025]);
  expect(home?.power.filter(({ smallest }) => smallest).map(({ share }) => share)).toEqual([0.75]);
  expect(home?.power.map(({ share }) => share)).toEqual([0.6, 0.7, 0.75, 0.8, 0.9]);
});
