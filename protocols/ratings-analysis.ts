import type { AudienceId, ListenerId, PrototypeId } from '../shared/brands';
import type { ScreeningFindings } from '../shared/findings-result';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { alphaEach } from './alpha-each';
import { assumedRatings, assumedSd, plannedVarianceLeft, ratingPower, ratingSize } from './first-impressions-power';
import { habituationOf } from './habituation';
import { type Leans, pHeld } from './held-by-everybody';
import { holm } from './holm';
import { interactionOf } from './interaction';
import { fewestTested, within } from './over-listeners';
import type { AnalyseOptions, Outcome } from './protocol';
import { type RatedScale, rangeOf } from './rated-scale';
import { withinByModel } from './rating-model';
import {
  assumedComparison,
  assumedPartOfRange,
  type ComparisonPlan,
  powerOfComparison,
  sizeOfComparison,
} from './rating-power';
import { type ComparedPair, comparesPairs, pairsOf, scaleResult } from './rating-results';
import { ratingsDescribed, warningsOfDescription } from './ratings-described';
import type { Analysis, AudienceResult, RatingDetail, RatingPair } from './results';

/** Who was left out by a rule that looks at nothing that the verdict is about, and why. */
export interface Screened {
  rule: ScreeningFindings['rule'];
  dropped: { listener: ListenerId; misses: number; of: number; p: number | null }[];
}

/** What a method adds to the analysis of its ratings. First impressions add nothing, and are analysed as they ever were. */
export interface MoreOfRatings {
  /** Whom the rule of the plan leaves out; null where the plan has none. */
  screening?: (outcomes: readonly Outcome[], plan: Plan) => Screened | null;
  /** Between which two that rule may lean: then p of a pair beside the primary one is no smaller than everybody's. */
  leans?: Leans;
  /** What the method says beside, by audience, of the listeners kept; not called where the verdict alone is wanted. */
  details?: (
    outcomes: ReadonlyMap<AudienceId, readonly Outcome[]>,
    plan: Plan,
  ) => ReadonlyMap<AudienceId, Partial<RatingDetail>>;
  /** Of a method whose pairs are none of two ratings: what an audience's answers come to. Left out: `scaleResult`. */
  results?: (outcomes: readonly Outcome[], scale: string, plan: Plan) => ReturnType<typeof scaleResult>;
  /** Residual standard deviation that power is stated for, in points as read. Left out: a sixth of the scale's range. */
  spread?: number;
}

/** One audience on the way to its result. */
interface Rated {
  id: AudienceId;
  planned: number;
  /** Each pair has a model of its own. */
  apart: boolean;
  /** Who came, those included whom a rule leaves out. */
  came: number;
  outcomes: Outcome[];
  scales: ReturnType<typeof scaleResult>[];
  /** The primary pair on the primary scale. */
  primary: ComparedPair;
  /** The same without late ratings; null where none of them was late. */
  withoutLate: RatingPair | null;
  screened: Screened | null;
  /** The primary pair with everybody; null where no rule leaves anybody out. */
  everybody: ComparedPair | null;
}

/**
 * The verdict of ratings on these scales, for each audience apart.
 *
 * The verdict rests on the primary pair on the primary scale: the difference of the mixed model (`ratingModel`), two-sided,
 * at α corrected over audiences by Holm; where there is no model (three listeners who all say the same, say), the paired
 * t test over listeners' means. All other pairs and scales are a family of their own, corrected by Holm over pairs, scales
 * and audiences; listeners' means, analysis of variance in blocks and Friedman's test stand beside and decide nothing.
 * @param scales of the plan's form
 * @param outcomes scored answers of the whole study, practice and void trials left out
 * @param plan the plan as locked
 * @param options `verdictOnly`: the scale of the verdict alone, without habituation, interaction and what describes
 * @param more of methods with grades. Whom its screening leaves out counts for nothing but `screening`, which says what
 *   the primary pair would have come to with everybody, its p corrected over audiences as a family of its own
 */
export function analyseRatings(
  scales: readonly RatedScale[],
  outcomes: readonly Outcome[],
  plan: Plan,
  { verdictOnly = false, hears }: AnalyseOptions = {},
  more: MoreOfRatings | null = null,
): Analysis {
  const audiences = plan.audiences.map((audience) => {
    hears?.(audience.id);
    const own = outcomes.filter((outcome) => outcome.audience === audience.id);
    return rated(scales, { id: audience.id as AudienceId, planned: audience.listeners }, own, plan, verdictOnly, more);
  });
  correct(audiences.map(({ primary }) => primary.pair));
  correct(
    audiences.flatMap(({ scales, primary }) =>
      scales.flatMap(({ result }) => result.pairs.filter((pair) => pair !== primary.pair)),
    ),
  );
  // An audience without late ratings, or without anybody left out, stands in these families as it is.
  correct(audiences.map(({ withoutLate, primary }) => withoutLate ?? { ...primary.pair }));
  correct(audiences.map(({ everybody, primary }) => everybody?.pair ?? { ...primary.pair }));
  const kept = audiences.flatMap((audience) => audience.outcomes);
  const tested = audiences.filter(({ primary }) => primary.pair.p !== null).length;
  const details = verdictOnly
    ? undefined
    : more?.details?.(new Map(audiences.map((audience) => [audience.id, audience.outcomes])), plan);
  return {
    decidedBy:
      more === null || audiences.some(({ primary }) => primary.indirect)
        ? 'mixed model, or listeners’ means where there is none'
        : 'mixed model of each pair, or listeners’ means where there is none',
    interaction: verdictOnly
      ? null
      : interactionOf(
          'points',
          audiences.flatMap(({ id, primary }) => primary.differences.map((one) => ({ ...one, audience: id }))),
        ),
    habituation: verdictOnly ? [] : habituationOf(scales, kept, plan),
    results: audiences.map((audience) => {
      const told = audience.scales.map(({ result }) => result);
      const described =
        verdictOnly || more === null || more.results ? {} : ratingsDescribed(audience.outcomes, told, scales, plan);
      const assumed = more && assumedOf(audience, scales, plan, more);
      const own = { ...described, ...details?.get(audience.id) };
      return audienceResult(audience, alphaEach(plan, tested), plan, own, assumed);
    }),
  };
}

function rated(
  scales: readonly { id: string }[],
  { id, planned }: Pick<Rated, 'id' | 'planned'>,
  all: readonly Outcome[],
  plan: Plan,
  verdictOnly: boolean,
  more: MoreOfRatings | null,
): Rated {
  const screened = more?.screening?.(all, plan) ?? null;
  const left = new Set(screened?.dropped.map(({ listener }) => listener));
  const outcomes = all.filter(({ listener }) => !left.has(listener));
  const told = verdictOnly ? scales.filter((scale) => scale.id === plan.primary.scale) : scales;
  const models = more ? 'apart' : 'together';
  // The other pairs are a family of their own, and change no verdict.
  const primaryOnly = verdictOnly && models === 'apart';
  const resultsOf = more?.results ?? ((from, scale) => scaleResult(from, scale, plan, { models, primaryOnly }));
  const results = told.map((scale) => resultsOf(outcomes, scale.id, plan));
  if (left.size > 0 && more?.leans && !verdictOnly) {
    for (const { result, compared } of results) {
      const ofAll = resultsOf(all, result.scale, plan).compared;
      compared.forEach(({ pair }, i) => {
        const theirs = ofAll[i]?.pair;
        const beside = !result.primary || i > 0;
        if (theirs && beside && more.leans?.(pair.first, pair.second)) pair.p = pHeld(pair, theirs);
      });
    }
  }
  const onPrimary = outcomes.filter(({ scale }) => scale === plan.primary.scale);
  const compared = (from: readonly Outcome[]): ComparedPair => {
    const [pair] = pairsOf(plan) as [[PrototypeId, PrototypeId]];
    const scale = plan.primary.scale ?? '';
    return more?.results
      ? (more.results(from, scale, plan).compared[0] as ComparedPair)
      : comparesPairs(from, scale, plan, models)(pair);
  };
  const primary = results.find(({ result }) => result.primary)?.compared[0] ?? compared([]);
  const inTime = onPrimary.filter(({ late }) => !late);
  const withoutLate = inTime.length === onPrimary.length ? null : compared(inTime).pair;
  const everybody = screened && (left.size === 0 ? { ...primary, pair: { ...primary.pair } } : compared(all));
  const came = new Set(all.map(({ listener }) => listener)).size;
  return {
    id,
    planned,
    apart: models === 'apart',
    came,
    outcomes,
    scales: results,
    primary,
    withoutLate,
    screened,
    everybody,
  };
}

/** Holm within a family, in place. */
function correct(family: readonly RatingPair[]): void {
  const adjusted = holm(family.map(({ p }) => p));
  family.forEach((pair, index) => {
    pair.pAdjusted = adjusted[index] ?? null;
  });
}

function audienceResult(
  audience: Rated,
  alpha: number,
  plan: Plan,
  details: Partial<RatingDetail>,
  assumed: ComparisonPlan | null,
): AudienceResult {
  const { outcomes, primary } = audience;
  const { pair, differences } = primary;
  const ratings = { ...detailOf(audience, plan), ...details };
  const { verdict, preferred } = verdictOf(primary, plan);
  const open = verdict === 'undecided' || verdict === 'not-enough-data';
  return {
    audience: audience.id,
    verdict,
    estimate: pair.difference,
    p: pair.p,
    pAdjusted: pair.pAdjusted,
    primary: null,
    preferred,
    pairs: [],
    difference: null,
    ratings,
    scores: null,
    consistency: [],
    n: {
      listeners: listenersOf(outcomes),
      trials: new Set(outcomes.map(({ trial }) => trial)).size,
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: assumed
      ? powerOfComparison(assumed, primary.indirect?.listeners ?? differences.length, plan.risks.smallest.value, alpha)
      : ratingPower(
          differences.length,
          plan.risks.smallest.value,
          assumedSd(primary.varianceLeft ?? plannedVarianceLeft(plan)),
          alpha,
        ),
    alsoPossible: pair.difference && { lower: pair.difference.lower, upper: pair.difference.upper },
    wouldSettle: open ? moreListeners(audience, plan, assumed) : null,
    otherRule: null,
    warnings: [...warningsOf(audience, plan), ...warningsOfDescription(ratings)],
  };
}

/**
 * `difference-shown` when the corrected test finds a direction; `not-enough-data` when fewer than three listeners rated
 * both prototypes, or all differ by exactly the same, so that there is no spread to test against; `not-separated` when
 * the difference is shown to lie within ± the smallest worth finding, by two one-sided tests (Schuirmann 1987, as
 * `equivalence` has it); else `undecided`.
 *
 * Those two tests are held at α over the number of planned audiences each: more careful than Holm, and the risk of
 * calling alike in any audience what isn't stays below α. With one audience that is the interval at level 1 − 2α.
 */
function verdictOf(
  { pair, differences, byModel }: ComparedPair,
  plan: Plan,
): { verdict: Verdict; preferred: PrototypeId | null } {
  const { alpha, smallest } = plan.risks;
  if (pair.difference === null || pair.pAdjusted === null) return { verdict: 'not-enough-data', preferred: null };
  if (pair.pAdjusted <= alpha) {
    return { verdict: 'difference-shown', preferred: pair.difference.value > 0 ? pair.first : pair.second };
  }
  const values = differences.map(({ value }) => value);
  const alike = byModel
    ? withinByModel(smallest.value, byModel, alphaEach(plan))
    : within(smallest.value, values, alphaEach(plan));
  return { verdict: alike ? 'not-separated' : 'undecided', preferred: null };
}

/**
 * Listeners who would give the planned power, by the spread that listeners' differences showed, or by the assumed one
 * where too few came to show any; null where no more are needed than came. Where most rate some samples only they count
 * as what the listeners who came were worth.
 */
function moreListeners(audience: Rated, plan: Plan, assumed: ComparisonPlan | null): { listeners: number } | null {
  const { pair, differences, standardDeviation, indirect } = audience.primary;
  const { smallest, beta } = plan.risks;
  const seen = pair.p === null ? null : standardDeviation;
  const needed = assumed
    ? sizeOfComparison(
        { ...assumed, differenceSd: seen ?? assumed.differenceSd },
        smallest.value,
        alphaEach(plan),
        beta,
      )
    : ratingSize(smallest.value, seen ?? assumedSd(plannedVarianceLeft(plan)), alphaEach(plan), beta);
  if (needed !== null && assumed && inBlocks(audience)) {
    const worth = indirect?.listeners ?? differences.length;
    return worth > 0 && needed > worth
      ? { listeners: Math.ceil((needed * listenersOf(audience.outcomes)) / worth) }
      : null;
  }
  return needed !== null && needed > differences.length ? { listeners: needed } : null;
}

const completeIn = ({ scales }: Rated): number => scales.find(({ result }) => result.primary)?.result.listeners ?? 0;

/** Most rated some samples only. */
const inBlocks = (audience: Rated): boolean => completeIn(audience) * 2 < listenersOf(audience.outcomes);

/** What power of grades is stated for: a sixth of the scale from one time to the next, and units that vary. */
function assumedOf(
  { primary }: Rated,
  scales: readonly RatedScale[],
  plan: Plan,
  { spread, results }: MoreOfRatings,
): ComparisonPlan {
  const scale = scales.find(({ id }) => id === plan.primary.scale);
  const range = scale ? rangeOf(scale) : null;
  const residualSd = spread ?? (range === null ? assumedRatings.residualSd : range * assumedPartOfRange);
  const unitsOf = (id: string) => plan.prototypes.find((one) => one.id === id)?.units.length ?? 0;
  // A method that tests over listeners alone takes units for alike.
  const units = results ? null : ([unitsOf(plan.primary.first), unitsOf(plan.primary.second)] as const);
  return assumedComparison(residualSd, primary.varianceLeft ?? 1, units, plan.sessions.count);
}

function detailOf({ outcomes, scales, withoutLate, screened, everybody }: Rated, plan: Plan): RatingDetail {
  return {
    scales: scales.map(({ result }) => result),
    withoutLate,
    late: outcomes.filter(({ late }) => late).length,
    ratings: outcomes.length,
    ...(screened &&
      everybody && {
        screening: {
          ...screened,
          kept: listenersOf(outcomes),
          all: everybody.pair,
          verdictOfAll: verdictOf(everybody, plan).verdict,
        },
      }),
  };
}

const listenersOf = (outcomes: readonly Outcome[]): number => new Set(outcomes.map(({ listener }) => listener)).size;

/** Keys of words, with the numbers that they need. */
function warningsOf(audience: Rated, plan: Plan): string[] {
  const { outcomes, came, planned, primary, apart } = audience;
  const warnings: string[] = [];
  const listeners = listenersOf(outcomes);
  if (came < planned) warnings.push(`fewer-listeners:${came}:${planned}`);
  if (came > planned) warnings.push(`more-listeners:${came}:${planned}`);
  if (listeners < came) warnings.push(`screened-out:${came - listeners}:${came}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  const complete = completeIn(audience);
  if (apart && inBlocks(audience)) warnings.push(`means-of-some:${complete}:${listeners}`);
  else if (complete < listeners) warnings.push(`listeners-incomplete:${listeners - complete}`);
  const both = primary.differences.length;
  if (both < fewestTested) warnings.push(`rated-both:${both}:${fewestTested}`);
  else if (primary.pair.difference === null) warnings.push('no-variation');
  if (new Set(outcomes.map(({ session }) => session)).size === 1) warnings.push('one-session');
  return warnings;
}
