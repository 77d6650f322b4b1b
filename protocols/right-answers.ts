import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { alphaEach } from './alpha-each';
import { holm } from './holm';
import { lookedResult } from './looked-result';
import { hasLooks, lookedBy } from './looks';
import type { AnalyseOptions, Evidence, Outcome } from './protocol';
import type { Analysis, AudienceResult, Estimate } from './results';
import { type Answered, answeredIn, guessed } from './right-counts';
import { rightsMisses, rightsNeeded, rightsPower } from './rights-power';
import { barely, rightsInteraction, rightsResult } from './rights-result';
import { analyseSimilar } from './similar-answers';

/** An audience and how surprising so many right answers would be by guessing alone: uncorrected, null without answers. */
interface Tested extends Answered {
  p: number | null;
}

/**
 * The verdict of a method whose answers are right or wrong, for each audience apart: whether the difference is heard, or
 * where the plan is after that, whether it is heard too seldom to matter (`similar-answers.ts`).
 *
 * The exact one-sided binomial over all trials of an audience against guessing, corrected over audiences by Holm. Pooling
 * trials of one listener keeps α, whoever hears how much: where nobody hears anything, right answers
 * come as the binomial has them, since what is right is drawn by itself in each trial, or dealt out so that no habit of
 * answering gains by it (`dealt-orders.ts`, to within a few tenths of a percent). A verdict of likeness is never given here: that
 * takes a test planned for it. A plan with looks is decided by the bound that was met first.
 * @param outcomes scored answers of the whole study, practice, controls and void trials left out: 1 right, 0 wrong
 * @param plan the plan as locked
 * @param chance probability of a right answer by guessing
 */
export function analyseRights(
  outcomes: readonly Outcome[],
  plan: Plan,
  chance: number,
  options: AnalyseOptions = {},
): Analysis {
  if (plan.aim === 'similarity') return analyseSimilar(outcomes, plan, chance, options);
  const audiences = answeredIn(outcomes, plan).map((one): Tested => {
    return { ...one, p: one.trials === 0 ? null : guessed(one.correct, one.trials, chance) };
  });
  const corrected = holm(audiences.map(({ p }) => p));
  const results = audiences.map((audience, i) =>
    resultOf(audience, audiences, corrected[i] ?? null, plan, chance, options),
  );
  return {
    decidedBy: hasLooks(plan) ? lookedBy(plan.looks) : 'exact one-sided binomial over all trials',
    interaction: options.verdictOnly ? null : rightsInteraction(audiences),
    habituation: [],
    results: hasLooks(plan) ? results.map((result) => withLooks(result, outcomes, plan, chance, options)) : results,
  };
}

/** What looks count: each answer, right or wrong, in the order in which they came. */
export function rightsEvidence(
  outcomes: readonly Outcome[],
  plan: Plan,
  audience: AudienceId,
  chance: number,
): Evidence {
  return {
    answers: outcomes.filter((one) => one.audience === audience).map(({ value }) => (value === 1 ? 1 : 0)),
    p0: chance,
    p1: chance + (1 - chance) * plan.risks.smallest.value,
    alternative: 'greater',
  };
}

function withLooks(
  result: AudienceResult,
  outcomes: readonly Outcome[],
  plan: Plan,
  chance: number,
  options: AnalyseOptions,
): AudienceResult {
  const evidence = rightsEvidence(outcomes, plan, result.audience, chance);
  const heard = (share: number): number => Math.max(0, (share - chance) / (1 - chance));
  const estimateOf = ({ value, lower, upper, level }: Estimate): Estimate => ({
    name: 'heard',
    value: heard(value),
    lower: heard(lower),
    upper: heard(upper),
    level,
  });
  return { ...result, ...lookedResult(result, evidence, plan, 'difference-shown', estimateOf, options) };
}

function resultOf(
  audience: Tested,
  audiences: readonly Tested[],
  pAdjusted: number | null,
  plan: Plan,
  chance: number,
  { verdictOnly = false }: AnalyseOptions,
): AudienceResult {
  const { trials, p } = audience;
  const { alpha, smallest } = plan.risks;
  const shown = (correct: number): boolean => shownWith(correct, audience, audiences, alpha, chance);
  const decided = { verdict: verdictOf(pAdjusted, alpha, () => shown(trials)), p, pAdjusted };
  if (verdictOnly) return barely(audience, decided);
  const own = {
    critical: criticalOf(trials, chance, shown),
    misses: trials === 0 ? [] : rightsMisses(trials, chance, testedAt(audiences, plan), smallest.value),
  };
  const power = rightsPower(trials, chance, testedAt(audiences, plan), smallest.value);
  const needed = (): number | null => rightsNeeded(plan, chance)?.listeners ?? null;
  return rightsResult(audience, decided, own, power, needed, plan, chance);
}

/** What an audience can count on: Holm's first step among those that answered. Power and misses are told at it. */
const testedAt = (audiences: readonly Tested[], plan: Plan): number =>
  alphaEach(plan, audiences.filter(({ p }) => p !== null).length);

/** `not-enough-data` when even all right would not have shown it, beside what the other audiences answered. */
function verdictOf(pAdjusted: number | null, alpha: number, shownByAllRight: () => boolean): Verdict {
  if (pAdjusted === null) return 'not-enough-data';
  if (pAdjusted <= alpha) return 'difference-shown';
  return shownByAllRight() ? 'undecided' : 'not-enough-data';
}

/** Whether so many right answers of this audience would have shown the difference, beside what the others answered. */
function shownWith(
  correct: number,
  audience: Tested,
  audiences: readonly Tested[],
  alpha: number,
  chance: number,
): boolean {
  const p = audiences.map((one) => (one === audience ? guessed(correct, audience.trials, chance) : one.p));
  return (holm(p)[audiences.indexOf(audience)] ?? 1) <= alpha;
}

/**
 * The fewest right answers that this audience needed beside what the others answered: where one of them shows the
 * difference, Holm leaves more of α for this one. So it is reached just when the difference is shown.
 */
function criticalOf(trials: number, chance: number, shown: (correct: number) => boolean): number | null {
  if (trials === 0 || !shown(trials)) return null;
  // So few that guessing gives them more often than any α that a plan may take: nothing is shown.
  let [short, enough] = [Math.floor(trials * chance), trials];
  while (enough - short > 1) {
    const middle = Math.floor((short + enough) / 2);
    if (shown(middle)) enough = middle;
    else short = middle;
  }
  return enough;
}
