import { protocolOf } from '../../../protocols/index';
import type { DifferenceDetail, SimilarityDetail } from '../../../protocols/results';
import { asksOneWay } from '../../../protocols/similarity';
import { shownBetween } from '../../../protocols/similarity-power';
import type { Difference, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import type { Verdict } from '../../../shared/verdicts';
import { answeredAlike } from '../../../stats/heard-by-some';
import { chosenPercent, percentBeside } from '../../number-words';
import { askedAlone } from '../audience-figures';
import { nameIn } from '../plan-names';
import { claimOf, rightWords } from './claim';

/** What a test for similarity says: whether a difference is heard in so few trials that it doesn't matter. */

/** A share as it stands beside the limit: never rounded across it. */
export const besideLimit = (share: number, { limit }: SimilarityDetail): string => percentBeside(share, [0, limit]);

/** Of whom the limit is told: of the average listener, where listeners are the unit. */
const whose = ({ by }: SimilarityDetail): string =>
  by === 'over-listeners' ? 'the average listener truly hears it' : 'it is truly heard';

export function similaritySentence(
  verdict: Verdict,
  difference: Pick<DifferenceDetail, 'correct' | 'trials'>,
  similarity: SimilarityDetail | undefined,
  plan: Plan,
  audience: string,
): string {
  const [first, second] = [plan.primary.first, plan.primary.second].map(nameIn(plan));
  const limit = chosenPercent(plan.risks.smallest.value);
  if (similarity === undefined || verdict === 'not-enough-data') {
    const { trials } = difference;
    const why =
      trials === 0
        ? 'no answer came in that counts'
        : `however few were right, ${trials === 1 ? '1 trial' : `${trials} trials`} could not have shown it at β = ${plan.risks.beta}`;
    return `There are not enough data from ${audience} to say whether ${first} and ${second} are similar for the purpose: ${why}.`;
  }
  const upper = besideLimit(similarity.upper, similarity);
  const level = `one-sided ${chosenPercent(similarity.level)} limit`;
  const right = rightWords(difference, plan);
  // No share is below 0: then the limit says nothing of how little it is heard.
  const most =
    similarity.upper === 0
      ? `${upper} (${level}), which takes luck and doesn’t say that nobody hears it`
      : `${upper} (${level})`;
  return verdict === 'similarity-shown'
    ? `${audience}: ${first} and ${second} are similar for the purpose: at β = ${plan.risks.beta}, ${claimOf(plan).brief} is truly heard in less than ${limit} of trials. ${right}: ${whose(similarity)} in at most ${most}.`
    : `${audience}: it is undecided whether ${first} and ${second} are similar for the purpose, which they are where ${claimOf(plan).brief} is truly heard in less than ${limit} of trials. ${right}: the data still allow that ${whose(similarity)} in up to ${upper} (${level}).`;
}

/** Figures of a similarity test: what the data allow at most, beside the limit. */
export function similarityFigures(similarity: SimilarityDetail, plan: Plan): { label: string; value: string }[] {
  return [
    {
      label: `At most, at β = ${plan.risks.beta}${similarity.by === 'over-listeners' ? ', over listeners' : ''}`,
      value: `${besideLimit(similarity.upper, similarity)} of trials`,
    },
    { label: 'Similar below', value: `${chosenPercent(similarity.limit)} of trials` },
  ];
}

/** The most right answers with which similarity is shown; where it is asked which has more, the fewest, too. */
export function mostFigure(
  similarity: SimilarityDetail | undefined,
  trials: readonly number[],
  plan: Plan,
): { label: string; value: string }[] {
  if (similarity === undefined) return [];
  const { limit, level, most } = similarity;
  const chance = protocolOf(plan.method.id).chance;
  if (asksOneWay(plan) && chance !== null) {
    const shown = shownBetween(answeredAlike(trials), chance, limit, 1 - level, true);
    return [
      { label: 'Shown with', value: shown ? `${shown.least} to ${shown.most} right` : 'no count: too few were asked' },
    ];
  }
  const value = most === null ? 'fewer than none: too few were asked' : `${most} right`;
  return [{ label: 'Shown with at most', value }];
}

/** What similarity doesn’t say, and where two ways of looking part. */
export function similarityCautions(
  { verdict, p }: Result,
  { heard, similarity, unevenP }: Difference,
  plan: Plan,
): string[] {
  if (verdict === 'not-enough-data' || similarity === undefined) return [];
  const { limit, by } = similarity;
  const shown = verdict === 'similarity-shown';
  return [
    ...(shown
      ? [
          `Similar is what the plan calls it: heard in less than ${chosenPercent(limit)} of trials. It doesn’t say that nobody hears it${by === 'over-listeners' ? ', and it is about the average listener: single ones may hear more' : ''}.`,
        ]
      : []),
    ...(heard !== null && heard.lower > 0
      ? ['The interval leaves guessing out: it is heard now and then. Whether that matters is what the limit says.']
      : []),
    ...(unevenP !== null && unevenP <= plan.risks.alpha
      ? ['Listeners differ beyond luck: some hear it in more of their trials than others.']
      : []),
    ...(!shown && p !== null && p <= plan.risks.beta ? [askedAlone('similarity', plan)] : []),
  ];
}
