import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import type { PanelOrderResult } from '../stats/panel-order';
import { holm } from './holm';
import { interactionOf } from './interaction';
import { type OwnRankings, ownRankings } from './own-rankings';
import type { AnalyseOptions, Outcome } from './protocol';
import { rankingDetail, separatedFromAll } from './ranking-detail';
import { primaryWeight, type RankedPair, rankingPairs, shareBefore, sharesBefore } from './ranking-pairs';
import { rankingPower, rankingSize } from './ranking-power';
import { rankingOf } from './ranking-spec';
import { decidingTest, isBalanced, isComplete, turnedBy } from './ranking-tests';
import type { Analysis, AudienceResult, Estimate } from './results';
import { weightedHolm } from './weighted-holm';

/** A pair with its p corrected over all pairs and audiences. */
export type TestedPair = RankedPair & { pAdjusted: number };

/** What came from one audience. */
interface Ranked {
  id: AudienceId;
  planned: number;
  outcomes: readonly Outcome[];
  rows: OwnRankings[];
  /** Null where nobody ranked. */
  test: PanelOrderResult | null;
  pairs: RankedPair[];
}

/**
 * The verdict of a ranking, for each audience apart: whether the panel puts the prototypes in an order, and which of them
 * it tells apart.
 *
 * First the whole order (`decidingTest`), corrected over audiences by Holm; then all pairs (`rankingPairs`), a family of
 * their own, corrected over pairs and audiences by Holm, with half of the weight on the primary pair: else twelve
 * listeners could hardly show anything of six prototypes. `preferred` takes both. The pairs alone would keep α already,
 * in any panel; the order in front of them is what a ranking asks, and names what decided.
 * @param outcomes one value for each sample of each ranking: its rank, 1 being the best; practice, controls and void
 *   trials left out
 * @param plan the plan as locked
 */
export function analyseRanking(outcomes: readonly Outcome[], plan: Plan, options: AnalyseOptions = {}): Analysis {
  const spec = rankingOf(plan);
  const audiences = plan.audiences.map(({ id, listeners }): Ranked => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const rows = ownRankings(own, plan);
    const test = rows.length === 0 ? null : decidingTest(rows, spec, plan);
    const pairs = rows.length === 0 ? [] : rankingPairs(rows, spec, plan);
    return { id: id as AudienceId, planned: listeners, outcomes: own, rows, test, pairs };
  });
  const wholes = holm(audiences.map(({ test }) => test?.p ?? null));
  const families = correctedPairs(audiences.map(({ pairs }) => pairs));
  const flips = audiences.some(({ rows }) => turnedBy(rows, isComplete(spec, plan)) === 'flip');
  return {
    decidedBy: flips
      ? 'permutation of whole listeners, then pairs by sign flips over listeners'
      : 'permutation of ranks within listeners, then pairs by sign flips over listeners',
    interaction: options.verdictOnly ? null : interaction(audiences, plan),
    habituation: [],
    results: audiences.map((audience, i) =>
      resultOf(audience, wholes[i] ?? null, families[i] ?? [], audiences, plan, options),
    ),
  };
}

/** The primary pair, for which the study is sized, has half of an audience's weight; the others share the rest. */
const weightOf = ({ primary }: RankedPair, pairs: readonly RankedPair[]): number =>
  primary ? primaryWeight : (1 - primaryWeight) / (pairs.length - 1);

function correctedPairs(audiences: readonly (readonly RankedPair[])[]): TestedPair[][] {
  const corrected = weightedHolm(
    audiences.flatMap((pairs) => pairs.map((pair) => ({ p: pair.p, weight: weightOf(pair, pairs) }))),
  );
  let next = 0;
  return audiences.map((pairs) => pairs.map((pair) => ({ ...pair, pAdjusted: corrected[next++] as number })));
}

/** Whether audiences order the primary pair alike, by each listener's share of rankings with the first ahead. */
function interaction(audiences: readonly Ranked[], plan: Plan): Analysis['interaction'] {
  const [first, second] = [plan.primary.first as PrototypeId, plan.primary.second as PrototypeId];
  return interactionOf(
    'share',
    audiences.flatMap(({ id, rows }) =>
      sharesBefore(rows, first, second, plan).map(({ row, share }) => ({
        listener: row.listener,
        audience: id,
        value: share,
      })),
    ),
  );
}

function resultOf(
  audience: Ranked,
  pAdjusted: number | null,
  pairs: readonly TestedPair[],
  audiences: readonly Ranked[],
  plan: Plan,
  { verdictOnly = false }: AnalyseOptions,
): AudienceResult {
  const { id, outcomes, rows, test } = audience;
  const { alpha, smallest } = plan.risks;
  const estimate = shareBefore(rows, plan.primary.first as PrototypeId, plan.primary.second as PrototypeId, plan);
  const verdict = verdictOf(audience, pAdjusted, pairs, audiences, plan, estimate);
  const found = verdict === 'preferred';
  const detail = verdictOnly || !test ? null : rankingDetail(rows, test, pairs, found, plan);
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  const needed = open && !verdictOnly ? rankingSize(plan) : null;
  return {
    audience: id,
    verdict,
    estimate,
    p: test?.p ?? null,
    pAdjusted,
    primary: null,
    preferred: found ? separatedFromAll(pairs, alpha, plan) : null,
    pairs: [],
    difference: null,
    ratings: null,
    ...(detail ? { ranking: detail } : {}),
    scores: null,
    consistency: [],
    n: {
      listeners: rows.length,
      trials: rows.reduce((sum, { rankings }) => sum + rankings.length, 0),
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: verdictOnly || rows.length < 2 ? 0 : rankingPower(plan, rows.length, smallest.value),
    alsoPossible: estimate && { lower: estimate.lower, upper: estimate.upper },
    wouldSettle: needed !== null && needed > rows.length ? { listeners: needed } : null,
    otherRule: null,
    warnings: verdictOnly ? [] : warningsOf(audience, plan),
  };
}

/**
 * `preferred` when the whole order and at least one pair are found; `not-enough-data` when these listeners could have
 * separated no pair even of one mind, as the other audiences answered; `not-separated` when for every pair the interval
 * of its share leaves out every share worth finding; else `undecided`.
 */
function verdictOf(
  audience: Ranked,
  pAdjusted: number | null,
  pairs: readonly TestedPair[],
  audiences: readonly Ranked[],
  plan: Plan,
  estimate: Estimate | null,
): Verdict {
  const { alpha, smallest } = plan.risks;
  if (pAdjusted === null || estimate === null || bestOf(audience, audiences, plan) > alpha) return 'not-enough-data';
  if (pAdjusted <= alpha && pairs.some((pair) => pair.pAdjusted <= alpha)) return 'preferred';
  const close = pairs.every(({ first, second, primary }) => {
    const share = primary ? estimate : shareBefore(audience.rows, first, second, plan);
    return share !== null && share.lower > 1 - smallest.value && share.upper < smallest.value;
  });
  return close ? 'not-separated' : 'undecided';
}

/** The least corrected p of a pair that these listeners would have had, all of one mind. */
function bestOf(audience: Ranked, audiences: readonly Ranked[], plan: Plan): number {
  const ways = plan.risks.sides === 'two-sided' ? 2 : 1;
  const ofOneMind = audiences.map(({ pairs }, i) =>
    audiences[i] === audience ? pairs.map((pair) => ({ ...pair, p: Math.min(1, ways / 2 ** pair.listeners) })) : pairs,
  );
  const own = correctedPairs(ofOneMind)[audiences.indexOf(audience)] ?? [];
  return Math.min(1, ...own.map(({ pAdjusted }) => pAdjusted));
}

/** Keys of words, with the numbers that they need. */
function warningsOf({ rows, planned }: Ranked, plan: Plan): string[] {
  const warnings: string[] = [];
  const spec = rankingOf(plan);
  if (rows.length < planned) warnings.push(`fewer-listeners:${rows.length}:${planned}`);
  if (rows.length > planned) warnings.push(`more-listeners:${rows.length}:${planned}`);
  const single = plan.prototypes.filter(({ units }) => units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  if (!isComplete(spec, plan) && rows.length > 0 && !isBalanced(rows, plan.prototypes.length)) {
    warnings.push('blocks-not-complete');
  }
  return warnings;
}
