import { alphaEach } from '../protocols/alpha-each';
import type { Looks, Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { chosenPercent } from './number-words';

/** What plans with looks are called and said to do, on pages and in letters. */

export function looksKindWords(looks: Looks): string {
  if (looks.kind === 'fixed') return 'None: a fixed size, nothing is shown before closing';
  if (looks.kind === 'always-valid') return 'At any time: evidence that holds whenever one looks';
  return looks.bounds === 'strict'
    ? 'Sequential (Wald), the upper bound kept strictly'
    : 'Sequential (Wald), with Wald’s own bounds';
}

/** What a false alarm may cost at most, whenever somebody looks and stops. */
export function attainedWords(attained: number, plan: Pick<Plan, 'risks' | 'audiences'>): string {
  const each = plan.audiences.length > 1 ? `, in each of ${plan.audiences.length} audiences` : '';
  const planned = alphaEach(plan);
  const words = `at most ${chosenPercent(attained)}${each}`;
  return attained > planned + 1e-9 ? `${words}; the plan asks for ${chosenPercent(planned)}` : words;
}

/** A ratio as people say it: 7.4, 20, 310. */
export function ratioWords(logarithm: number): string {
  const ratio = Math.exp(logarithm);
  if (ratio >= 1e6) return 'over a million';
  return ratio < 10 ? String(Number(ratio.toFixed(ratio < 2 ? 2 : 1))) : Math.round(ratio).toLocaleString('en');
}

type Asked = Pick<Plan, 'looks' | 'risks' | 'method'>;

const prefers = (plan: Asked): boolean => plan.risks.smallest.kind === 'share';

/** What the answers speak for, where they don't speak for nothing. */
function effect(plan: Asked): string {
  const { value } = plan.risks.smallest;
  if (plan.looks.kind === 'always-valid') return prefers(plan) ? 'there is a preference' : 'there is a difference';
  return prefers(plan)
    ? `one of the two is preferred by ${chosenPercent(value)}`
    : `the difference is truly heard in ${chosenPercent(value)} of trials`;
}

const nothing = (plan: Asked): string => (prefers(plan) ? 'if neither is preferred' : 'by guessing alone');

/** How far the answers speak for the effect, or against it, in one sentence. */
export function evidenceWords(evidence: number, plan: Asked): string {
  const by = prefers(plan) ? nothing(plan) : 'by guessing alone';
  if (Math.abs(evidence) < 0.005) return `The answers so far are as likely if ${effect(plan)} as ${by}.`;
  return evidence > 0
    ? `The answers so far are ${ratioWords(evidence)} times as likely if ${effect(plan)} as ${by}.`
    : `The answers so far are ${ratioWords(-evidence)} times as likely ${by} as if ${effect(plan)}.`;
}

/** Where it stops. */
export function boundWords({ upper, lower }: { upper: number; lower: number | null }, plan: Asked): string {
  const found = prefers(plan) ? 'a preference is shown' : 'the difference is shown';
  const above = `At ${ratioWords(upper)} times as likely ${found}`;
  return lower === null
    ? `${above}; there is no bound at which it ends without that.`
    : `${above}; at ${ratioWords(-lower)} times as likely ${nothing(plan)} the test ends without it.`;
}

export const stateWords: Record<'go-on' | 'shown' | 'none-shown', string> = {
  'go-on': 'Go on',
  shown: 'Stop: the upper bound is met',
  'none-shown': 'Stop: the lower bound is met',
};

/** What a plan with looks says of how it came to its end. */
export function endWords(state: 'go-on' | 'shown' | 'none-shown', verdict: Verdict, plan: Asked): string | null {
  if (state === 'shown' || verdict === 'not-enough-data') return null;
  const what = prefers(plan) ? 'a preference' : 'the difference';
  return state === 'none-shown'
    ? `The plan’s test ended without finding ${what}. It does not show that there is none.`
    : `The answers ended before ${plan.looks.kind === 'always-valid' ? 'the bound' : 'any bound'} was met.`;
}
