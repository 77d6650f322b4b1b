import { binomialTest } from './binomial-test';
import { type Alternative, alternatives, choice, options, probability, whole } from './check';
import { StatsError } from './errors';
import { clopperPearson } from './proportion-interval';

export const noneRules = ['drop', 'split', 'proportional'] as const;
export type NoneRule = (typeof noneRules)[number];

export interface PairedPreferenceInput {
  first: number;
  second: number;
  none?: number | undefined;
  noneRule?: NoneRule | undefined;
  alternative?: Alternative | undefined;
  level?: number | undefined;
}

export interface PairedPreferenceResult {
  share: number;
  p: number;
  lower: number;
  upper: number;
  trialsUsed: number;
}

/**
 * Which of two is preferred, counting every answer as if it came from a person of its own.
 *
 * Use it where each listener answers once; for repeated answers it is a summary only, since answers of one listener
 * resemble each other (`signFlip` counts listeners). Assumes independent answers.
 *
 * @param input.first answers for the first
 * @param input.second answers for the second
 * @param input.none answers without preference, by default 0
 * @param input.noneRule `drop` (default) leaves them out; `split` gives half to each, an odd one against the leader
 *   (with no leader the share is ½, the interval covers both ways and p is the larger); `proportional` shares them out
 *   like the others, which alters neither the share nor what it rests on: p, interval and trialsUsed are those of `drop`
 * @param input.alternative of the first: `two-sided` by default
 * @param input.level of the interval, by default 0.95
 * @returns share of the first, 0 … 1; p of the exact binomial against ½; Clopper–Pearson limits, two-sided; trialsUsed:
 *   the answers on which p and interval rest
 * @throws StatsError as `binomialTest`; not-enough-data where the rule leaves no answer
 *
 * Accuracy: 1e-11 relative.
 * Source: sign test with ties dropped or split (common practice); ISO 5495:2005 for the two-sided table.
 *
 * @example
 * pairedPreference({ first: 30, second: 18, none: 12, noneRule: 'split' })
 * // { share: 0.6, p: 0.155001904003261, trialsUsed: 60 }
 */
export function pairedPreference(input: PairedPreferenceInput): PairedPreferenceResult {
  options(input, ['first', 'second', 'none', 'noneRule', 'alternative', 'level']);
  const first = whole(input.first, 'first', { min: 0, max: 1e8 });
  const second = whole(input.second, 'second', { min: 0, max: 1e8 });
  const none = whole(input.none ?? 0, 'none', { min: 0, max: 1e8 });
  const rule = choice(input.noneRule ?? 'drop', 'noneRule', noneRules);
  const alternative = choice(input.alternative ?? 'two-sided', 'alternative', alternatives);
  const level = probability(input.level ?? 0.95, 'level');
  const trialsUsed = rule === 'split' ? first + second + none : first + second;
  if (trialsUsed === 0) {
    const wrong = 'no answer is left to count';
    throw new StatsError('not-enough-data', 'first', wrong, 'at least one answer that counts', first);
  }
  const { low, high } = rule === 'split' ? split(first, second, none) : { low: first, high: first };
  const p = (correct: number) => binomialTest({ correct, trials: trialsUsed, alternative }).p;
  return {
    share: (low + high) / 2 / trialsUsed,
    p: Math.max(p(low), p(high)),
    lower: clopperPearson(low, trialsUsed, level).lower,
    upper: clopperPearson(high, trialsUsed, level).upper,
    trialsUsed,
  };
}

/** What the first has after splitting: one number, or two where an odd answer has no leader to count against. */
function split(first: number, second: number, none: number): { low: number; high: number } {
  const low = first + Math.floor(none / 2);
  const high = first + Math.ceil(none / 2);
  if (first === second) return { low, high };
  return first > second ? { low, high: low } : { low: high, high };
}
