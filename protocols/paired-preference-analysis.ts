import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { adjustP } from '../stats/adjust-p';
import { preferencePower } from '../stats/preference-power';
import { preferenceSize } from '../stats/preference-size';
import { alphaEach } from './alpha-each';
import { allPairs } from './balanced-pairs';
import { interactionOf } from './interaction';
import { lookedResult } from './looked-result';
import { hasLooks, lookedBy } from './looks';
import { netPreferences } from './net-preferences';
import { consistencyOf } from './pair-consistency';
import { countedBy, pairResults, talliesOf, testOf } from './pair-results';
import { pairScores } from './pair-scores';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis, AudienceResult, PairResult } from './results';

/** The spread of listeners' own tastes that power is stated for: an assumption, said wherever power is shown. */
export const assumedTasteSpread = 0.3;

/**
 * Power is computed for so many answers of each listener to a pair at most. More add next to nothing, since then nearly
 * all of the spread lies between listeners, and would take seconds to compute.
 */
export const mostRepeats = 40;

/**
 * The verdict of a paired preference, for each audience apart.
 *
 * The listener is the unit: per pair, a sign-flip permutation over listeners' net preferences. The primary pair is
 * tested at α, corrected over audiences by Holm; the other pairs are a family of their own, corrected by Holm over
 * pairs and audiences. Pooled counts stand beside and decide nothing.
 * @param outcomes scored answers of the whole study, practice and void trials left out
 * @param plan the plan as locked
 * @param options resamples for the intervals of scores (10,000 by default)
 */
export function analysePairedPreference(
  outcomes: readonly Outcome[],
  plan: Plan,
  options: AnalyseOptions = {},
): Analysis {
  const audiences = plan.audiences.map((audience) => ({
    id: audience.id as AudienceId,
    planned: audience.listeners,
    outcomes: outcomes.filter((outcome) => outcome.audience === audience.id),
  }));
  const pairsOf = audiences.map((audience) => {
    options.hears?.(audience.id);
    return pairResults(audience.outcomes, plan);
  });
  correct(
    pairsOf.map((pairs) => pairs.filter((pair) => pair.primary)),
    pairsOf.map((pairs) => pairs.filter((pair) => !pair.primary)),
  );
  const primaries = pairsOf.map((pairs) => pairs[0] as PairResult);
  const results = audiences.map((audience, index) =>
    audienceResult(audience.id, audience.planned, audience.outcomes, pairsOf[index] ?? [], primaries, plan, options),
  );
  return {
    decidedBy: hasLooks(plan) ? lookedBy(plan.looks) : 'sign-flip permutation over listeners',
    interaction: options.verdictOnly ? null : preferenceInteraction(outcomes, plan),
    habituation: [],
    results: hasLooks(plan) ? results.map((result) => withLooks(result, outcomes, plan, options)) : results,
  };
}

/** By one net answer a listener, in the order in which they came. */
function withLooks(
  result: AudienceResult,
  outcomes: readonly Outcome[],
  plan: Plan,
  options: AnalyseOptions,
): AudienceResult {
  const evidence = netPreferences(outcomes, plan, result.audience);
  const looked = lookedResult(result, evidence, plan, 'preferred', (share) => share, options);
  const counted = evidence.answers.slice(0, looked.looks.counted);
  const first = counted.filter((answer) => answer === 1).length;
  const ahead = first > counted.length - first ? plan.primary.first : plan.primary.second;
  return { ...result, ...looked, preferred: looked.verdict === 'preferred' ? (ahead as PrototypeId) : null };
}

/** Whether audiences prefer alike, by each listener's share of preferences for the first of the primary pair. */
function preferenceInteraction(outcomes: readonly Outcome[], plan: Plan): Analysis['interaction'] {
  const first = plan.primary.first as PrototypeId;
  const second = plan.primary.second as PrototypeId;
  const rows = plan.audiences.flatMap(({ id }) => {
    const own = outcomes.filter((outcome) => outcome.audience === id);
    return [...new Set(own.map((outcome) => outcome.listener))].flatMap((listener) => {
      const tallies = talliesOf(
        own.filter((outcome) => outcome.listener === listener),
        first,
        second,
      );
      return countedBy(plan.noPreference.rule, tallies).map(({ share }) => ({ listener, audience: id, value: share }));
    });
  });
  return interactionOf('share', rows);
}

/** Holm within each family, in place. */
function correct(...families: PairResult[][][]): void {
  for (const family of families) {
    const tested = family.flat().filter((pair) => pair.p !== null);
    if (tested.length === 0) continue;
    const adjusted = adjustP({ p: tested.map((pair) => pair.p as number), method: 'holm' }).p;
    tested.forEach((pair, index) => {
      pair.pAdjusted = adjusted[index] as number;
    });
  }
}

function audienceResult(
  audience: AudienceId,
  planned: number,
  outcomes: readonly Outcome[],
  pairs: PairResult[],
  primaries: readonly PairResult[],
  plan: Plan,
  options: AnalyseOptions,
): AudienceResult {
  const primary = pairs[0] as PairResult;
  const { verdict, preferred } = verdictOf(primary, primaries, plan);
  const listeners = new Set(outcomes.map((outcome) => outcome.listener)).size;
  const answers = Math.round(primary.pooled.trialsUsed / Math.max(1, primary.listeners));
  const repeats = Math.min(mostRepeats, Math.max(1, answers));
  const design = { gamma: assumedTasteSpread, share: plan.risks.smallest.value, repeats };
  const tested = alphaEach(plan, primaries.filter(({ p }) => p !== null).length);
  // A new study would be asked as this one was planned, whatever was lost on the way.
  const again = { ...design, repeats: plannedRepeats(plan), alpha: alphaEach(plan) };
  const alternative = plan.risks.sides === 'one-sided' ? ('greater' as const) : ('two-sided' as const);
  return {
    audience,
    verdict,
    estimate: primary.share,
    p: primary.p,
    pAdjusted: primary.pAdjusted,
    primary,
    preferred,
    pairs,
    difference: null,
    ratings: null,
    scores: options.verdictOnly ? null : pairScores(outcomes, plan, options.resamples),
    consistency: options.verdictOnly ? [] : consistencyOf(outcomes, plan),
    n: {
      listeners,
      trials: outcomes.length,
      days: new Set(outcomes.map((outcome) => outcome.session)).size,
      units: new Set(outcomes.flatMap((outcome) => outcome.units)).size,
    },
    power:
      primary.listeners < 2 || options.verdictOnly
        ? 0
        : remembered(
            'power',
            () =>
              preferencePower({ ...design, alpha: tested, alternative, listeners: primary.listeners, seed: 1 }).power,
            design,
            tested,
            alternative,
            primary.listeners,
          ),
    alsoPossible: primary.share && { lower: primary.share.lower, upper: primary.share.upper },
    wouldSettle:
      (verdict === 'undecided' || verdict === 'not-enough-data') && !options.verdictOnly
        ? moreListeners(primary.listeners, () =>
            remembered(
              'size',
              () => preferenceSize({ ...again, alternative, beta: plan.risks.beta, seed: 1 }).listeners,
              again,
              alternative,
              plan.risks.beta,
            ),
          )
        : null,
    otherRule: otherRule(outcomes, primary, plan),
    warnings: warningsOf(primary, planned, listeners, plan),
  };
}

/** How often each listener meets a pair over all sittings, as far as power is computed. */
export function plannedRepeats(plan: Plan): number {
  const { turns } = plan.method.spec as { turns: number };
  const pairs = allPairs(plan.prototypes.length).length;
  return Math.min(mostRepeats, Math.max(1, Math.floor((turns * plan.sessions.count) / pairs)));
}

/** Power depends on the design alone, and is asked for again and again when plans are simulated. */
const memory = new Map<string, number | null>();
function remembered<T extends number | null>(what: string, compute: () => T, ...key: unknown[]): T {
  const address = JSON.stringify([what, ...key]);
  if (!memory.has(address)) memory.set(address, compute());
  return memory.get(address) as T;
}

function moreListeners(have: number, needed: () => number | null): { listeners: number } | null {
  const listeners = needed();
  return listeners !== null && listeners > have ? { listeners } : null;
}

/**
 * `preferred` when the corrected test finds a direction; `not-enough-data` when these listeners could not have reached
 * α even of one mind, as the other audiences answered; `not-separated` when the interval leaves out every share worth
 * finding; else `undecided`.
 */
function verdictOf(
  primary: PairResult,
  primaries: readonly PairResult[],
  plan: Plan,
): { verdict: Verdict; preferred: PrototypeId | null } {
  const { alpha, smallest } = plan.risks;
  if (primary.share === null || primary.pAdjusted === null || bestOf(primary, primaries, plan) > alpha) {
    return { verdict: 'not-enough-data', preferred: null };
  }
  if (primary.pAdjusted <= alpha) {
    return { verdict: 'preferred', preferred: primary.share.value > 0.5 ? primary.first : primary.second };
  }
  const { lower, upper } = primary.share;
  const close = lower > 1 - smallest.value && upper < smallest.value;
  return { verdict: close ? 'not-separated' : 'undecided', preferred: null };
}

/** The corrected p that these listeners would have had, all of one mind, beside what the other audiences answered. */
function bestOf(primary: PairResult, primaries: readonly PairResult[], plan: Plan): number {
  const best = (plan.risks.sides === 'two-sided' ? 2 : 1) / 2 ** primary.listeners;
  const tested = primaries.filter(({ p }) => p !== null);
  const p = tested.map((one) => (one === primary ? Math.min(1, best) : (one.p as number)));
  return adjustP({ p, method: 'holm' }).p[tested.indexOf(primary)] as number;
}

function otherRule(outcomes: readonly Outcome[], primary: PairResult, plan: Plan): AudienceResult['otherRule'] {
  if (primary.none === 0) return null;
  const rule = plan.noPreference.rule === 'split' ? 'drop' : 'split';
  const counted = countedBy(rule, talliesOf(outcomes, primary.first, primary.second));
  return {
    rule,
    share: counted.length === 0 ? null : counted.reduce((sum, { share }) => sum + share, 0) / counted.length,
    p: testOf(counted, plan.risks.sides === 'one-sided'),
  };
}

/** Keys of words, with the numbers that they need. */
function warningsOf(primary: PairResult, planned: number, listeners: number, plan: Plan): string[] {
  const warnings: string[] = [];
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  if (primary.listeners < listeners) warnings.push(`listeners-without-preference:${listeners - primary.listeners}`);
  return warnings;
}
