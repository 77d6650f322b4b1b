import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { alwaysValid } from '../stats/always-valid';
import { couldShow, type Looked, lookedAt } from './looks';
import { looksCourse } from './looks-course';
import type { AnalyseOptions, Evidence } from './protocol';
import type { AudienceResult, Estimate, LooksDetail } from './results';

/** What the looks of a plan make of the result of one audience. */
export type LookedResult = Pick<
  AudienceResult,
  'verdict' | 'estimate' | 'p' | 'pAdjusted' | 'power' | 'alsoPossible' | 'wouldSettle' | 'warnings'
> & { looks: LooksDetail };

/**
 * The result of an audience in a plan with looks, in place of what a test at the end would say: the bound that was met
 * first gives the verdict, p is valid whenever one looked, and the interval holds whenever one stopped. A plan that ended
 * without a finding is undecided.
 * @param whole the same audience's result by the test at the end, over all answers
 * @param evidence what looks count, in the order in which it came
 * @param found the verdict where the effect is shown
 * @param estimateOf makes of the share of answers for the effect what the method states
 */
export function lookedResult(
  whole: Pick<AudienceResult, 'audience' | 'p' | 'wouldSettle' | 'warnings'>,
  evidence: Evidence,
  plan: Plan,
  found: Verdict,
  estimateOf: (share: Estimate) => Estimate,
  { verdictOnly = false }: AnalyseOptions = {},
): LookedResult {
  const looked = lookedAt(evidence, plan);
  const verdict = verdictOf(looked, evidence, plan, found);
  const open = looked.state === 'go-on';
  const planned = answersPlanned(whole.audience, plan);
  const share = verdictOnly ? null : shareOf(looked, evidence, 1 - plan.risks.alpha);
  const estimate = share && estimateOf(share);
  return {
    verdict,
    estimate,
    p: looked.p,
    pAdjusted: looked.p === null ? null : Math.min(1, looked.p * plan.audiences.length),
    // Once it is decided, more answers were planned for and not needed.
    power: verdictOnly ? 0 : looksCourse(evidence, plan, open ? evidence.answers.length : planned, evidence.p1).shown,
    alsoPossible: verdict === 'undecided' && estimate ? { lower: estimate.lower, upper: estimate.upper } : null,
    // Once the lower bound is met, more of the same would be another study.
    wouldSettle: open ? whole.wouldSettle : null,
    warnings: open ? whole.warnings : whole.warnings.filter((key) => !key.startsWith('fewer-listeners:')),
    looks: { ...looked.detail, share, fixed: { p: whole.p, answers: evidence.answers.length } },
  };
}

/** Of a preference one net answer a listener, else every trial. */
function answersPlanned(audience: string, plan: Plan): number {
  const { listeners = 0 } = plan.audiences.find(({ id }) => id === audience) ?? {};
  const { trials = 1 } = plan.method.spec as { trials?: number };
  return plan.risks.smallest.kind === 'share' ? listeners : listeners * trials * plan.sessions.count;
}

/** `not-enough-data` when even answers all for the effect could not have met the bound. */
function verdictOf({ state }: Looked, evidence: Evidence, plan: Plan, found: Verdict): Verdict {
  if (state === 'shown') return found;
  return state === 'none-shown' || couldShow(evidence, plan) ? 'undecided' : 'not-enough-data';
}

/** Two-sided limits by the evidence of a mixture, which hold after any answer (Robbins 1970). */
function shareOf({ detail }: Looked, { answers, p0 }: Evidence, level: number): Estimate | null {
  const counted = answers.slice(0, detail.counted);
  if (counted.length === 0) return null;
  const { lower, upper } = alwaysValid({ p0, outcomes: counted, alpha: 1 - level });
  const ones = counted.reduce<number>((sum, one) => sum + one, 0);
  return { name: 'share-for', value: ones / counted.length, lower, upper, level };
}
