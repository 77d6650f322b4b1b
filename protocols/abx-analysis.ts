import type { AudienceId, ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { binomialTest } from '../stats/binomial-test';
import { distinguishers } from '../stats/distinguishers';
import { proportionInterval } from '../stats/proportion-interval';
import { abxMisses, abxNeeded, abxPower } from './abx-power';
import { alphaEach } from './alpha-each';
import { heardShare } from './heard-share';
import { holm } from './holm';
import { interactionOf } from './interaction';
import type { Outcome } from './protocol';
import type { Analysis, AudienceResult, DifferenceDetail, Estimate } from './results';

/** What came from one audience. */
interface Answered {
  id: AudienceId;
  planned: number;
  outcomes: Outcome[];
  correct: number;
  trials: number;
  /** Uncorrected; null without answers. */
  p: number | null;
}

/**
 * The verdict of an ABX study, for each audience apart.
 *
 * The exact one-sided binomial over all trials of an audience, corrected over audiences by Holm. Pooling trials of one
 * listener keeps α, whoever hears how much: where nobody hears anything, every trial is a guess of its own, since each
 * third sample is drawn by itself. A verdict of likeness is never given: that takes a test planned for it.
 * @param outcomes scored answers of the whole study, practice and void trials left out: 1 right, 0 wrong
 * @param plan the plan as locked
 */
export function analyseAbx(outcomes: readonly Outcome[], plan: Plan): Analysis {
  const audiences = plan.audiences.map(({ id, listeners }): Answered => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const [correct, trials] = [rights(own), own.length];
    const p = trials === 0 ? null : guessed(correct, trials);
    return { id: id as AudienceId, planned: listeners, outcomes: own, correct, trials, p };
  });
  const corrected = holm(audiences.map(({ p }) => p));
  const shares = audiences.flatMap(({ id, outcomes: own }) =>
    listenersOf(own).map(({ listener, correct, trials }) => ({ listener, audience: id, value: correct / trials })),
  );
  return {
    decidedBy: 'exact one-sided binomial over all trials',
    interaction: interactionOf('correct', shares),
    habituation: [],
    results: audiences.map((audience, i) => resultOf(audience, audiences, corrected[i] ?? null, plan)),
  };
}

const rights = (outcomes: readonly Outcome[]): number => outcomes.filter(({ value }) => value === 1).length;

/** The chance of so many right answers or more by guessing. */
const guessed = (correct: number, trials: number): number => binomialTest({ correct, trials, chance: 1 / 2 }).p;

function resultOf(
  audience: Answered,
  audiences: readonly Answered[],
  pAdjusted: number | null,
  plan: Plan,
): AudienceResult {
  const { id, outcomes, correct, trials, p } = audience;
  const { alpha, smallest } = plan.risks;
  const difference = detailOf(audience, audiences, plan);
  const verdict = verdictOf(difference, pAdjusted, alpha);
  const listeners = difference.listeners.length;
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  const needed = open ? abxNeeded(plan) : null;
  return {
    audience: id,
    verdict,
    estimate: difference.heard,
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
      units: new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: abxPower(trials, testedAt(audiences, plan), smallest.value),
    alsoPossible:
      verdict === 'undecided' && difference.heard
        ? { lower: difference.heard.lower, upper: difference.heard.upper }
        : null,
    wouldSettle: needed && needed.listeners > listeners ? { listeners: needed.listeners } : null,
    otherRule: null,
    warnings: warningsOf(correct, trials, listeners, audience.planned, plan),
  };
}

/** What an audience can count on: Holm's first step among those that answered. Power and misses are told at it. */
const testedAt = (audiences: readonly Answered[], plan: Plan): number =>
  alphaEach(plan, audiences.filter(({ p }) => p !== null).length);

/** `not-enough-data` when even all right would not have shown it, beside what the other audiences answered. */
function verdictOf({ critical }: DifferenceDetail, pAdjusted: number | null, alpha: number): Verdict {
  if (critical === null || pAdjusted === null) return 'not-enough-data';
  return pAdjusted <= alpha ? 'difference-shown' : 'undecided';
}

function detailOf(audience: Answered, audiences: readonly Answered[], plan: Plan): DifferenceDetail {
  const { outcomes, correct, trials } = audience;
  const { alpha, smallest } = plan.risks;
  const level = 1 - alpha;
  const listeners = listenersOf(outcomes);
  return {
    correct,
    trials,
    critical: criticalOf(audience, audiences, alpha),
    share: trials === 0 ? null : shareOf(correct, trials, level),
    ...heardShare(listeners, 1 / 2, level),
    misses: trials === 0 ? [] : abxMisses(trials, testedAt(audiences, plan), smallest.value),
    listeners,
  };
}

/**
 * The fewest right answers that this audience needed beside what the others answered: where one of them shows the
 * difference, Holm leaves more of α for this one. So it is reached just when the difference is shown.
 */
function criticalOf(audience: Answered, audiences: readonly Answered[], alpha: number): number | null {
  const { trials } = audience;
  const own = audiences.indexOf(audience);
  const shown = (correct: number): boolean => {
    const p = audiences.map((one) => (one === audience ? guessed(correct, trials) : one.p));
    return (holm(p)[own] ?? 1) <= alpha;
  };
  if (trials === 0 || !shown(trials)) return null;
  // Below half of the answers nothing is shown at any α that a plan may take.
  let [short, enough] = [Math.floor(trials / 2), trials];
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

/** One entry a listener, by id, each with the sessions in their order. */
function listenersOf(outcomes: readonly Outcome[]): DifferenceDetail['listeners'] {
  const count = (own: readonly Outcome[]) => ({ correct: rights(own), trials: own.length });
  return grouped(outcomes, ({ listener }) => listener)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([listener, own]: [ListenerId, Outcome[]]) => ({
      listener,
      ...count(own),
      sessions: grouped(own, ({ sessionNumber }) => sessionNumber)
        .sort(([a], [b]) => a - b)
        .map(([sessionNumber, theirs]) => ({ sessionNumber, ...count(theirs) })),
    }));
}

function grouped<K>(outcomes: readonly Outcome[], keyOf: (outcome: Outcome) => K): [K, Outcome[]][] {
  const groups = new Map<K, Outcome[]>();
  for (const outcome of outcomes) {
    const own = groups.get(keyOf(outcome));
    if (own) own.push(outcome);
    else groups.set(keyOf(outcome), [outcome]);
  }
  return [...groups];
}

/** Keys of words, with the numbers that they need. */
function warningsOf(correct: number, trials: number, listeners: number, planned: number, plan: Plan): string[] {
  const warnings: string[] = [];
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  // No share is below 0, whatever came, so the interval doesn't show it.
  const level = 1 - plan.risks.alpha;
  if (trials > 0 && distinguishers({ correct, trials, chance: 1 / 2, level }).belowChance) {
    warnings.push(`fewer-right-than-guessing:${correct}:${trials}`);
  }
  return warnings;
}
