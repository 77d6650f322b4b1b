import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { proportionInterval } from '../stats/proportion-interval';
import { momentsOfHits, stratifiedUpper, type YesCounts } from '../stats/stratified-yes';
import { alphaEach } from './alpha-each';
import { holm } from './holm';
import { interactionOf } from './interaction';
import { overListeners } from './over-listeners';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis, AudienceResult, Estimate, YesNoDetail } from './results';
import { type YesAnswered, type YesNoMethod, yesAnsweredIn, yesInAll, yesOfListeners } from './yes-no-counts';
import { distanceEstimate, distanceOf } from './yes-no-distance';
import { yesNoMisses, yesNoNeeded, yesNoPower } from './yes-no-power';

interface Tested extends YesAnswered {
  /** Uncorrected; null without answers. */
  p: number | null;
}

/**
 * The verdict of a method with two answers, for each audience apart: whether the difference is heard.
 *
 * Within a sitting half of the trials are of each kind, in an order drawn at random for this listener alone. Whoever hears
 * nothing would have given the same answers in any other order, whatever habit they follow and however it changes during
 * the sitting. So given how often each sitting said yes, the chance of so many hits or more is known exactly: a
 * randomisation test, stratified by sitting, corrected over audiences by Holm. Pooling the answers of a listener keeps α
 * for the same reason as in a test against guessing. Trials that were lost or left out take nothing away from that as
 * long as it doesn't hang on what they were. There are no looks: chance has no fixed rate that answers could be counted
 * against one by one, and a sitting must be whole before it can be compared with itself.
 * @param outcomes scored answers of the whole study, practice, controls and void trials left out: 1 yes, 0 no
 * @param plan the plan as locked
 */
export function analyseYesNo(
  method: YesNoMethod,
  outcomes: readonly Outcome[],
  plan: Plan,
  options: AnalyseOptions = {},
): Analysis {
  const audiences = yesAnsweredIn(method, outcomes, plan).map(
    (one): Tested => ({ ...one, p: one.outcomes.length === 0 ? null : stratifiedUpper(one.sittings) }),
  );
  const corrected = holm(audiences.map(({ p }) => p));
  return {
    decidedBy: 'exact test of hits within sittings, given how often each said yes',
    interaction: options.verdictOnly ? null : interactionIn(method, audiences, plan),
    habituation: [],
    results: audiences.map((audience, i) => resultOf(method, audience, audiences, corrected[i] ?? null, plan, options)),
  };
}

/** Whether audiences hear it alike, by how much oftener each listener said yes to the one kind. */
function interactionIn(method: YesNoMethod, audiences: readonly Tested[], plan: Plan): Analysis['interaction'] {
  const rows = audiences.flatMap(({ id, outcomes }) =>
    yesOfListeners(method, outcomes, plan).flatMap((own) => {
      const value = apartOf(own);
      return value === null ? [] : [{ listener: own.listener, audience: id, value }];
    }),
  );
  return interactionOf('apart', rows);
}

/** Rate of hits less rate of false alarms; null where trials of one kind are missing. */
const apartOf = ({ hits, signalTrials, falseAlarms, noiseTrials }: YesCounts): number | null =>
  signalTrials === 0 || noiseTrials === 0 ? null : hits / signalTrials - falseAlarms / noiseTrials;

function resultOf(
  method: YesNoMethod,
  audience: Tested,
  audiences: readonly Tested[],
  pAdjusted: number | null,
  plan: Plan,
  { verdictOnly = false }: AnalyseOptions,
): AudienceResult {
  const { id, outcomes, sittings, p } = audience;
  const { alpha, smallest } = plan.risks;
  const verdict = verdictOf(audience, audiences, pAdjusted, alpha);
  const listeners = new Set(outcomes.map(({ listener }) => listener)).size;
  const testedAt = alphaEach(plan, audiences.filter((one) => one.p !== null).length);
  const yesNo = verdictOnly ? null : detailOf(method, audience, testedAt, plan);
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  const needed = open && !verdictOnly ? yesNoNeeded(method, plan) : null;
  const estimate = yesNo?.dPrime ?? null;
  return {
    audience: id,
    verdict,
    estimate,
    p,
    pAdjusted,
    primary: null,
    preferred: null,
    pairs: [],
    difference: null,
    ratings: null,
    ...(yesNo && { yesNo }),
    scores: null,
    consistency: [],
    n: {
      listeners,
      trials: outcomes.length,
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: verdictOnly ? 0 : new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: verdictOnly || outcomes.length === 0 ? 0 : yesNoPower(method, sittings, testedAt, smallest.value),
    alsoPossible: verdict === 'undecided' && estimate ? { lower: estimate.lower, upper: estimate.upper } : null,
    wouldSettle: needed && needed.listeners > listeners ? { listeners: needed.listeners } : null,
    otherRule: null,
    warnings: verdictOnly ? [] : warningsOf(audience, listeners, plan),
  };
}

/** `not-enough-data` when even answers without a mistake would not have shown it, beside what the other audiences gave. */
function verdictOf(audience: Tested, audiences: readonly Tested[], pAdjusted: number | null, alpha: number): Verdict {
  if (pAdjusted === null) return 'not-enough-data';
  if (pAdjusted <= alpha) return 'difference-shown';
  const best = stratifiedUpper(audience.sittings.map((own) => ({ ...own, hits: own.signalTrials, falseAlarms: 0 })));
  const p = audiences.map((one) => (one === audience ? best : one.p));
  return (holm(p)[audiences.indexOf(audience)] ?? 1) <= alpha ? 'undecided' : 'not-enough-data';
}

function detailOf(method: YesNoMethod, { outcomes, sittings }: Tested, testedAt: number, plan: Plan): YesNoDetail {
  const level = 1 - plan.risks.alpha;
  const listeners = yesOfListeners(method, outcomes, plan);
  const all = yesInAll(listeners);
  const apart = listeners.map(apartOf).filter((own) => own !== null);
  return {
    ...all,
    hitRate: rateOf('hits', all.hits, all.signalTrials, level),
    falseAlarmRate: rateOf('false-alarms', all.falseAlarms, all.noiseTrials, level),
    apart: within(overListeners('apart', apart, level).estimate),
    dPrime: distanceEstimate(method, listeners, level),
    criterion: all.signalTrials === 0 || all.noiseTrials === 0 ? null : distanceOf(method, all).criterion,
    misses: outcomes.length === 0 ? [] : yesNoMisses(method, sittings, testedAt, plan.risks.smallest.value),
    listeners,
  };
}

/** A difference of two rates lies between −1 and 1, whatever a t interval says. */
const within = (estimate: Estimate | null): Estimate | null =>
  estimate && { ...estimate, lower: Math.max(-1, estimate.lower), upper: Math.min(1, estimate.upper) };

/** Clopper and Pearson's limits: of all answers together, as if each came from a person of its own. */
function rateOf(name: string, yes: number, trials: number, level: number): Estimate | null {
  if (trials === 0) return null;
  const { lower, upper } = proportionInterval({ correct: yes, trials, level, method: 'clopper-pearson' });
  return { name, value: yes / trials, lower, upper, level };
}

/** Keys of words, with the numbers that they need. */
function warningsOf({ outcomes, sittings, planned }: Tested, listeners: number, plan: Plan): string[] {
  const warnings: string[] = [];
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  if (outcomes.length > 0 && momentsOfHits(sittings).variance === 0) warnings.push('all-alike');
  return warnings;
}
