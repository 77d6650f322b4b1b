import type { Plan } from '../shared/plan';
import { chiSquareUpper, normalUpper } from '../stats/distributions';
import { durbin } from '../stats/durbin';
import { friedman } from '../stats/friedman';
import { page } from '../stats/page';
import { type PanelOrderResult, panelOrder } from '../stats/panel-order';
import { wherePossible } from './over-listeners';
import type { OwnRankings } from './own-rankings';
import type { RankingSpec } from './ranking-spec';

/** Whether every ranking has all prototypes. */
export const isComplete = (spec: Pick<RankingSpec, 'size'>, plan: Pick<Plan, 'prototypes'>): boolean =>
  spec.size >= plan.prototypes.length;

/**
 * What is turned round when nothing is preferred. In complete rankings each listener's own figures, all rankings of that
 * listener alike; so too where everybody ranked one incomplete block. With several incomplete blocks a listener, all of
 * a listener's rankings are reversed or not.
 */
export const turnedBy = (rows: readonly OwnRankings[], complete: boolean): 'shuffle' | 'flip' =>
  complete || rows.every(({ rankings }) => rankings.length === 1) ? 'shuffle' : 'flip';

/**
 * The deciding test of one audience: does the panel put the prototypes in an order?
 *
 * If the panel has no preference, a listener's own taste may still be strong, so that several rankings of one listener
 * say little more than one; the listener is the unit. Tastes that nobody shares could as well have been about the
 * prototypes with their names exchanged: so in complete rankings one relabelling a listener, over all of that
 * listener's rankings, leaves everything as likely as it was. In incomplete blocks a relabelling would need other
 * blocks than were served; there the opposite taste stands for it, and all rankings of a listener are reversed or none.
 * Both orders of hearing are drawn, so that a habit of answering by place leans to no prototype.
 *
 * That prototypes are exchangeable is more than that nobody shares a preference: of three, one may always be in the
 * middle while the others split the panel, and then this test alone found something in 9 % of simulated studies at α = 5 %
 * (`node tests/bench/bench.mjs ranking-errors`).
 * Therefore the verdict also wants a pair that is separated, by a test that holds for such a panel, too
 * (`rankingPairs`).
 * @param rows at least one listener
 */
export function decidingTest(
  rows: readonly OwnRankings[],
  spec: Pick<RankingSpec, 'size' | 'predicted'>,
  plan: Plan,
): PanelOrderResult {
  return panelOrder({
    rows: rows.map(({ deviations }) => deviations),
    by: turnedBy(rows, isComplete(spec, plan)),
    ...(spec.predicted ? { trend: plan.prototypes.map((_, i) => i + 1) } : {}),
    seed: 1,
  });
}

export interface PublishedTest {
  test: 'friedman' | 'page' | 'durbin';
  statistic: number | null;
  degreesOfFreedom: number | null;
  approximateP: number | null;
  agreement: number | null;
}

/**
 * The same by the published statistic and its usual p, for comparison. Of complete rankings each listener's mean ranks
 * are ranked; incomplete blocks are taken as if each came from a listener of its own.
 */
export function publishedTest(
  rows: readonly OwnRankings[],
  spec: Pick<RankingSpec, 'size' | 'predicted'>,
  plan: Plan,
): PublishedTest {
  const complete = isComplete(spec, plan);
  const test = spec.predicted ? 'page' : complete ? 'friedman' : 'durbin';
  const none: PublishedTest = { test, statistic: null, degreesOfFreedom: null, approximateP: null, agreement: null };
  if (rows.length < 2) return none;
  if (!complete) return spec.predicted ? blockTrend(rows, none) : blocks(rows, plan.prototypes.length, none);
  const scores = rows.map(({ deviations }) => deviations.map((deviation) => deviation ?? 0));
  const own = wherePossible(() => friedman({ scores, higherIsBetter: false }));
  const agreement = own?.kendallW ?? null;
  if (!spec.predicted) {
    return {
      ...none,
      statistic: own?.chiSquare ?? null,
      degreesOfFreedom: own?.degreesOfFreedom ?? null,
      approximateP: own?.p ?? null,
      agreement,
    };
  }
  const trend = wherePossible(() => page({ scores }));
  return { ...none, statistic: trend?.l ?? null, approximateP: trend?.p ?? null, agreement };
}

function blocks(rows: readonly OwnRankings[], items: number, none: PublishedTest): PublishedTest {
  if (!isBalanced(rows, items)) return none;
  const scores = rows.flatMap(({ rankings }) =>
    rankings.map(({ items: own, ranks }) => {
      const row: (number | null)[] = Array.from({ length: items }, () => null);
      own.forEach((item, i) => {
        row[item] = ranks[i] as number;
      });
      return row;
    }),
  );
  const own = wherePossible(() => durbin({ scores, higherIsBetter: false }));
  if (!own) return none;
  const { chiSquare, degreesOfFreedom } = own;
  return { ...none, statistic: chiSquare, degreesOfFreedom, approximateP: chiSquareUpper(chiSquare, degreesOfFreedom) };
}

/** Page's L within incomplete blocks, from its mean and variance when every order of a block is equally likely. */
function blockTrend(rows: readonly OwnRankings[], none: PublishedTest): PublishedTest {
  let statistic = 0;
  let expected = 0;
  let variance = 0;
  for (const { items, ranks } of rows.flatMap(({ rankings }) => rankings)) {
    const k = items.length;
    const places = items.map((item) => item + 1);
    const mean = places.reduce((sum, place) => sum + place, 0) / k;
    statistic += places.reduce((sum, place, i) => sum + place * (ranks[i] as number), 0);
    expected += (k * mean * (k + 1)) / 2;
    // Σ(place − mean)²·Σ(rank − mean)²/(k − 1): the variance of a sum of products under shuffling.
    variance += (places.reduce((sum, place) => sum + (place - mean) ** 2, 0) * k * (k + 1)) / 12;
  }
  return { ...none, statistic, approximateP: normalUpper((statistic - expected) / Math.sqrt(variance)) };
}

/** Whether every two prototypes met in equally many rankings; then each came in equally many. */
export function isBalanced(rows: readonly OwnRankings[], items: number): boolean {
  const met = new Map<number, number>();
  for (const { items: own } of rows.flatMap(({ rankings }) => rankings)) {
    for (const a of own) for (const b of own) if (a < b) met.set(a * items + b, (met.get(a * items + b) ?? 0) + 1);
  }
  return met.size === (items * (items - 1)) / 2 && new Set(met.values()).size === 1;
}
