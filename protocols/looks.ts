import type { Looks, Plan } from '../shared/plan';
import { type LookedPlan, ratioOf } from './looks-ratio';
import type { Evidence } from './protocol';
import type { LooksDetail } from './results';

/** What a plan with looks says of the answers so far, in one audience. */
export interface Looked {
  state: LooksDetail['state'];
  /** After which answer, counted from 1; null while it goes on. */
  decidedAt: number | null;
  /** Valid whenever one looks; of the answers up to the decision. Null before the first. */
  p: number | null;
  /** What is told of it, but for what stands beside. */
  detail: Omit<LooksDetail, 'share' | 'fixed'>;
}

/** Whether a plan has looks at all. */
export const hasLooks = (plan: Pick<Plan, 'looks'>): boolean => plan.looks.kind !== 'fixed';

/** What decides in a plan with looks, as findings name it. */
export const lookedBy = (looks: Looks): string =>
  looks.kind === 'always-valid'
    ? 'evidence that is valid at any time, counted after each answer'
    : `sequential probability ratio test (Wald), ${looks.kind === 'sequential' && looks.bounds === 'wald' ? 'with its own bounds' : 'with the strict bound'}, counted after each answer`;

/** A bound that is met but for rounding counts as met. */
export const rounding = 1e-12;

/**
 * Where a plan with looks stands after some answers. The first bound that is met decides, and no later answer changes
 * that: what comes after is counted as such, and in nothing else.
 *
 * `sequential`: Wald's test between guessing and the smallest effect worth finding, at α over the number of audiences and
 * at β. With two sides there are two such tests at half of that α; the larger ratio decides, so that what is told of it
 * has no direction, and nothing is found once both are at the lower bound. Its p is 1 over the largest ratio (twice that
 * with two sides): by Ville's inequality it is valid at any time. `always-valid`: the evidence of a mixture of all effects;
 * it never ends without a finding.
 * @param evidence answers in the order in which they came
 * @param plan a plan whose looks are not `fixed`
 * @throws Error for a plan of fixed size
 *
 * Source: Wald (1947), Sequential Analysis, chapters 3 and 5; Ville (1939), Étude critique de la notion de collectif;
 * Robbins (1970), Annals of Mathematical Statistics 41:1397–1409.
 */
export function lookedAt(evidence: Evidence, plan: LookedPlan): Looked {
  const { log, upper, lower, attainedAlpha, sides } = ratioOf(evidence, plan);
  let ones = 0;
  const path = evidence.answers.map((answer, i) => {
    ones += answer;
    return log(ones, i + 1 - ones);
  });
  const met = path.findIndex((ratio) => ratio >= upper - rounding || (lower !== null && ratio <= lower + rounding));
  const decidedAt = met < 0 ? null : met + 1;
  const counted = path.slice(0, decidedAt ?? path.length);
  const state = met < 0 ? 'go-on' : (path[met] as number) > 0 ? 'shown' : 'none-shown';
  const { looks } = plan;
  const largest = Math.max(0, ...counted);
  return {
    state,
    decidedAt,
    p: counted.length === 0 ? null : Math.min(1, sides * Math.exp(-largest)),
    detail: {
      kind: looks.kind === 'sequential' ? 'sequential' : 'always-valid',
      bounds: looks.kind === 'sequential' ? looks.bounds : null,
      attainedAlpha,
      state,
      decidedAt,
      counted: counted.length,
      after: path.length - counted.length,
      path: counted,
      upper,
      lower,
    },
  };
}

/** Whether so many answers could have shown the effect, all of one kind. */
export const couldShow = (evidence: Evidence, plan: LookedPlan): boolean =>
  lookedAt({ ...evidence, answers: evidence.answers.map(() => 1) }, plan).state === 'shown';
