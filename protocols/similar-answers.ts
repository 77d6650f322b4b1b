import type { Plan } from '../shared/plan';
import { holm } from './holm';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis, AudienceResult, DifferenceDetail } from './results';
import { type Answered, answeredIn, countsOf } from './right-counts';
import { barely, rightsInteraction, rightsResult } from './rights-result';
import { asksOneWay, canShowSimilarity, similarityOf, similarityP } from './similarity';
import { similarityMisses, similarityNeeded } from './similarity-power';

interface Tested extends Answered {
  counts: { correct: number; trials: number }[];
  /** Uncorrected; null without answers. */
  p: number | null;
}

/**
 * The verdict of a plan that is after similarity, for each audience apart: whether a difference is truly heard in less
 * than the planned share of trials.
 *
 * The risk of a false "similar" is β and comes first: p is how likely so few right answers or fewer would be if it were
 * heard as often as the limit, with the listener as the unit (`similarity.ts`), corrected over audiences by Holm against
 * β. Where it is asked which one has more, it must be heard in so few trials either way round. Nothing else is ever shown: not that a difference is heard, nor that there is none.
 * @param outcomes as for `analyseRights`
 * @param chance probability of a right answer by guessing
 */
export function analyseSimilar(
  outcomes: readonly Outcome[],
  plan: Plan,
  chance: number,
  options: AnalyseOptions = {},
): Analysis {
  const limit = plan.risks.smallest.value;
  const audiences = answeredIn(outcomes, plan).map((one): Tested => {
    const counts = countsOf(one.outcomes);
    return { ...one, counts, p: similarityP(counts, chance, limit, asksOneWay(plan)) };
  });
  const corrected = holm(audiences.map(({ p }) => p));
  return {
    decidedBy: 'exact upper limit on the share truly heard, the listener as the unit',
    interaction: options.verdictOnly ? null : rightsInteraction(audiences),
    habituation: [],
    results: audiences.map((audience, i) => resultOf(audience, audiences, corrected[i] ?? null, plan, chance, options)),
  };
}

function resultOf(
  audience: Tested,
  audiences: readonly Tested[],
  pAdjusted: number | null,
  plan: Plan,
  chance: number,
  { verdictOnly = false }: AnalyseOptions,
): AudienceResult {
  const { counts, p } = audience;
  const limit = plan.risks.smallest.value;
  const beta = betaLeft(audience, audiences, plan.risks.beta);
  const verdict = ((): AudienceResult['verdict'] => {
    if (p === null || pAdjusted === null) return 'not-enough-data';
    if (pAdjusted <= plan.risks.beta) return 'similarity-shown';
    const each = counts.map(({ trials }) => trials);
    return canShowSimilarity(each, chance, limit, beta, asksOneWay(plan)) ? 'undecided' : 'not-enough-data';
  })();
  const decided = { verdict, p, pAdjusted };
  if (verdictOnly) return barely(audience, decided);
  const similarity = similarityOf(counts, chance, limit, beta, asksOneWay(plan))?.detail;
  const each = counts.map(({ trials }) => trials);
  const misses = similarityMisses(each, chance, limit, plan.risks.beta / family(audiences), asksOneWay(plan));
  const own: Pick<DifferenceDetail, 'critical' | 'misses' | 'similarity'> = {
    critical: null,
    misses,
    ...(similarity && { similarity }),
  };
  const power = 1 - (misses[0]?.miss ?? 1);
  const needed = (): number | null => similarityNeeded(plan, chance)?.listeners ?? null;
  return rightsResult(audience, decided, own, power, needed, plan, chance);
}

/** Audiences that answered: what an audience can count on is Holm's first step among them. Misses are told at it. */
const family = (audiences: readonly Tested[]): number => Math.max(1, audiences.filter(({ p }) => p !== null).length);

/**
 * The share of β that Holm leaves for this audience beside what the others answered: similarity is shown just when its p
 * is no more than that.
 */
function betaLeft(audience: Tested, audiences: readonly Tested[], beta: number): number {
  const others = audiences.flatMap((one) => (one === audience || one.p === null ? [] : [one.p])).sort((a, b) => a - b);
  const all = others.length + 1;
  const shown = others.findIndex((p, before) => p > beta / (all - before));
  return beta / (all - (shown < 0 ? others.length : shown));
}
