import { type Alternative, alternatives, choice, number, options, probability } from './check';
import { ConfidenceSequence } from './confidence-sequence';
import { cutMixture } from './cut-mixture';
import { outcomesOf } from './outcomes';

export interface AlwaysValidInput {
  p0: number;
  outcomes: readonly number[];
  alpha?: number | undefined;
  priorA?: number | undefined;
  priorB?: number | undefined;
  alternative?: Alternative | undefined;
}

export interface AlwaysValidResult {
  eValue: number | null;
  overflow: boolean;
  logE: number[];
  p: number;
  rejectedAt: number | null;
  lower: number;
  upper: number;
  runningLower: number;
  runningUpper: number;
  runningEmpty: boolean;
}

/** A bound that is met but for rounding counts as reached. */
const rounding = 1e-12;

/**
 * What right and wrong answers say against guessing, valid whenever one looks and whenever one stops.
 *
 * Use it where results are watched as they come in and nobody fixed beforehand when to stop. The e-value is what a stake
 * of 1 has become that was bet against p0: under guessing it stays below 1/alpha for ever with probability 1 − alpha.
 * Assumes independent answers with one probability of being right; `greater` holds against every probability up to p0,
 * `less` against every one from p0 on.
 *
 * @param input.p0 probability of a right answer by guessing, between 0 and 1
 * @param input.outcomes answers as they came, 1 right and 0 wrong; there may be none yet
 * @param input.alpha risk of ever rejecting what is true, between 0 and 1, by default 0.05
 * @param input.priorA the bet is spread over the possible shares as beta(priorA, priorB): right answers that one would
 *   have seen before, 1e-6 … 1e6, by default 1
 * @param input.priorB the same of wrong answers, by default 1
 * @param input.alternative `greater` (default) and `less` bet only on shares above or below p0, the prior being cut there
 *   and brought back to a total of 1; `two-sided` bets on all
 * @returns eValue: after the last answer, 1 before the first, `null` with overflow true where it is above 1.8e308 (its
 *   logarithm is the last of logE); logE: the natural logarithm after each answer; p: 1 / the largest e so far, at most 1;
 *   rejectedAt: the first answer, counted from 1, with e ≥ 1/alpha, `null` if there was none; lower, upper: the shares
 *   whose two-sided e after the last answer is below 1/alpha lie between them, whatever the alternative; runningLower,
 *   runningUpper: the shares for which it was so after every answer. Where no share is left, runningLower is above
 *   runningUpper and runningEmpty is true: the answers fit no constant probability
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: logE and the limits 1e-11, up to 100,000 answers. Below 1e-323 p is 0.
 * Source: Ville (1939), Étude critique de la notion de collectif (the inequality); Robbins (1970), Annals of Mathematical
 * Statistics 41:1397–1409 (mixtures and their confidence sequences); Howard, Ramdas, McAuliffe & Sekhon (2021), Annals of
 * Statistics 49:1055–1080; formulas from memory.
 *
 * @example
 * alwaysValid({ p0: 0.5, outcomes: [1, 1, 1, 1, 1, 1, 1, 0] })
 * // { eValue: 6.97222222222222, p: 0.0313725490196078, rejectedAt: 7, lower: 0.378736710003419, upper: 0.999302153758340 }
 */
export function alwaysValid(input: AlwaysValidInput): AlwaysValidResult {
  options(input, ['p0', 'outcomes', 'alpha', 'priorA', 'priorB', 'alternative']);
  const p0 = probability(input.p0, 'p0');
  const outcomes = outcomesOf(input.outcomes);
  const alpha = probability(input.alpha ?? 0.05, 'alpha');
  const priorA = prior(input.priorA, 'priorA');
  const priorB = prior(input.priorB, 'priorB');
  const alternative = choice(input.alternative ?? 'greater', 'alternative', alternatives);

  const bound = -Math.log(alpha);
  const sequence = new ConfidenceSequence(priorA, priorB, bound);
  const evidence = evidenceOf(sequence, alternative, p0, priorA, priorB);
  const logE = outcomes.map((outcome) => {
    sequence.add(outcome);
    return evidence();
  });
  const last = logE.at(-1) ?? 0;
  const largest = logE.reduce((most, log) => Math.max(most, log), 0);
  const met = logE.findIndex((log) => log >= bound - rounding);
  const overflow = Math.exp(last) === Number.POSITIVE_INFINITY;
  const { lower, upper, runningLower, runningUpper } = sequence;
  return {
    eValue: overflow ? null : Math.exp(last),
    overflow,
    logE,
    p: Math.exp(-largest),
    rejectedAt: met < 0 ? null : met + 1,
    lower,
    upper,
    runningLower,
    runningUpper,
    runningEmpty: runningLower > runningUpper,
  };
}

const prior = (value: number | undefined, path: string) => number(value ?? 1, path, { min: 1e-6, max: 1e6 });

/** The log evidence against p0 of the answers that the sequence has seen. */
function evidenceOf(seen: ConfidenceSequence, alternative: Alternative, p0: number, a: number, b: number) {
  if (alternative === 'two-sided') return () => seen.against(p0);
  if (alternative === 'greater') {
    const cut = cutMixture(p0, 1 - p0, a, b);
    return () => cut(seen.right, seen.wrong, seen.against(p0));
  }
  // Right and wrong change places: fewer right answers are more wrong ones.
  const cut = cutMixture(1 - p0, p0, b, a);
  return () => cut(seen.wrong, seen.right, seen.against(p0));
}
