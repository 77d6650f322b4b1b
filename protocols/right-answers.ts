import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { distinguishers } from '../stats/distinguishers';
import { proportionInterval } from '../stats/proportion-interval';
import { alphaEach } from './alpha-each';
import { heardShare } from './heard-share';
import { holm } from './holm';
import { interactionOf } from './interaction';
import { lookedResult } from './looked-result';
import { hasLooks, lookedBy } from './looks';
import type { AnalyseOptions, Evidence, Outcome } from './protocol';
import type { Analysis, AudienceResult, DifferenceDetail, Estimate } from './results';
import { guessed, listenersOf, rightsOf } from './right-counts';
import { rightsMisses, rightsNeeded, rightsPower } from './rights-power';

/** What came from one audience. */
interface Answered {
  id: AudienceId;
  planned: number;
  outcomes: readonly Outcome[];
  correct: number;
  trials: number;
  /** Uncorrected; null without answers. */
  p: number | null;
}

/**
 * The verdict of a method whose answers are right or wrong, for each audience apart: whether the difference is heard.
 *
 * The exact one-sided binomial over all trials of an audience against guessing, corrected over audiences by Holm. Pooling
 * trials of one listener keeps α, whoever hears how much: where nobody hears anything, every trial is a guess of its own,
 * since what is right is drawn by itself in each trial of a listener. A verdict of likeness is never given: that takes a
 * test planned for it. A plan with looks is decided by the bound that was met first.
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
  const audiences = plan.audiences.map(({ id, listeners }): Answered => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const [correct, trials] = [rightsOf(own), own.length];
    const p = trials === 0 ? null : guessed(correct, trials, chance);
    return { id: id as AudienceId, planned: listeners, outcomes: own, correct, trials, p };
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

/** Whether audiences hear it alike, by each listener's share of right answers. */
function rightsInteraction(audiences: readonly Answered[]): Analysis['interaction'] {
  const shares = audiences.flatMap(({ id, outcomes }) =>
    listenersOf(outcomes).map(({ listener, correct, trials }) => ({ listener, audience: id, value: correct / trials })),
  );
  return interactionOf('correct', shares);
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
  audience: Answered,
  audiences: readonly Answered[],
  pAdjusted: number | null,
  plan: Plan,
  chance: number,
  { verdictOnly = false }: AnalyseOptions,
): AudienceResult {
  const { id, outcomes, correct, trials, p } = audience;
  const { alpha, smallest } = plan.risks;
  const verdict = verdictOf(audience, audiences, pAdjusted, alpha, chance);
  const difference = verdictOnly ? null : detailOf(audience, audiences, plan, chance);
  const listeners = difference?.listeners.length ?? new Set(outcomes.map(({ listener }) => listener)).size;
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  const needed = open && !verdictOnly ? rightsNeeded(plan, chance) : null;
  return {
    audience: id,
    verdict,
    estimate: difference?.heard ?? null,
    p,
    pAdjusted,
    primary: null,
    preferred: null,
    pairs: [],
    difference,
    ratings: null,
    scores: null,
    consistency: [],
    n: {
      listeners,
      trials,
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: verdictOnly ? 0 : new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: verdictOnly ? 0 : rightsPower(trials, chance, testedAt(audiences, plan), smallest.value),
    alsoPossible:
      verdict === 'undecided' && difference?.heard
        ? { lower: difference.heard.lower, upper: difference.heard.upper }
        : null,
    wouldSettle: needed && needed.listeners > listeners ? { listeners: needed.listeners } : null,
    otherRule: null,
    warnings: verdictOnly ? [] : warningsOf(correct, trials, listeners, audience.planned, plan, chance),
  };
}

/** What an audience can count on: Holm's first step among those that answered. Power and misses are told at it. */
const testedAt = (audiences: readonly Answered[], plan: Plan): number =>
  alphaEach(plan, audiences.filter(({ p }) => p !== null).length);

/** `not-enough-data` when even all right would not have shown it, beside what the other audiences answered. */
function verdictOf(
  audience: Answered,
  audiences: readonly Answered[],
  pAdjusted: number | null,
  alpha: number,
  chance: number,
): Verdict {
  if (pAdjusted === null) return 'not-enough-data';
  if (pAdjusted <= alpha) return 'difference-shown';
  return shownWith(audience.trials, audience, audiences, alpha, chance) ? 'undecided' : 'not-enough-data';
}

function detailOf(audience: Answered, audiences: readonly Answered[], plan: Plan, chance: number): DifferenceDetail {
  const { outcomes, correct, trials } = audience;
  const { alpha, smallest } = plan.risks;
  const level = 1 - alpha;
  const listeners = listenersOf(outcomes);
  return {
    correct,
    trials,
    critical: criticalOf(audience, audiences, alpha, chance),
    share: trials === 0 ? null : shareOf(correct, trials, level),
    ...heardShare(listeners, chance, level),
    misses: trials === 0 ? [] : rightsMisses(trials, chance, testedAt(audiences, plan), smallest.value),
    listeners,
  };
}

/** Whether so many right answers of this audience would have shown the difference, beside what the others answered. */
function shownWith(
  correct: number,
  audience: Answered,
  audiences: readonly Answered[],
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
function criticalOf(audience: Answered, audiences: readonly Answered[], alpha: number, chance: number): number | null {
  const { trials } = audience;
  const shown = (correct: number): boolean => shownWith(correct, audience, audiences, alpha, chance);
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

function shareOf(correct: number, trials: number, level: number): Estimate {
  const { lower, upper } = proportionInterval({ correct, trials, level, method: 'clopper-pearson' });
  return { name: 'correct', value: correct / trials, lower, upper, level };
}

/** Keys of words, with the numbers that they need. */
function warningsOf(
  correct: number,
  trials: number,
  listeners: number,
  planned: number,
  plan: Plan,
  chance: number,
): string[] {
  const warnings: string[] = [];
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  // No share is below 0, whatever came, so the interval doesn't show it.
  const level = 1 - plan.risks.alpha;
  if (trials > 0 && distinguishers({ correct, trials, chance, level }).belowChance) {
    warnings.push(`fewer-right-than-guessing:${correct}:${trials}`);
  }
  return warnings;
}
