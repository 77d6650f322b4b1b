import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { alphaEach } from './alpha-each';
import type { CheckAllSpec } from './check-all';
import { tickedPower, tickedSize, ticksPlanned } from './check-all-power';
import { holm } from './holm';
import { interactionOf } from './interaction';
import { meanOf, ownRatings } from './own-ratings';
import type { AnalyseOptions, Outcome } from './protocol';
import { pairsOf, scaleResult } from './rating-results';
import type { Analysis, AudienceResult, RatingDetail, ScaleResult } from './results';
import { type OwnApart, ownApart, tickedAlike, tickedApart } from './ticked-apart';
import { likedWhenTicked, sharesOf, tickedAgain } from './ticked-words';

type Ticked = NonNullable<RatingDetail['ticked']>[number];
type TickedPair = Ticked['pairs'][number];

/** One audience on the way to its result. */
interface Audience {
  id: AudienceId;
  planned: number;
  outcomes: Outcome[];
  /** The primary pair on the primary word, and each listener's difference in it. */
  primary: TickedPair;
  own: OwnApart[];
  /** All words in the order of the plan; none where the verdict alone is asked for. */
  words: Ticked[];
  liking: ScaleResult | null;
}

/**
 * The verdict of check all that apply, for each audience apart.
 *
 * It rests on the primary pair and the primary word: how much oftener listeners tick it for the one than for the other,
 * each listener counting once, by a sign-flip permutation, two-sided, which is exact McNemar where everybody answered
 * once (`ticked-apart.ts`); at α corrected over audiences by Holm. All other pairs and words, and the pairs of liking
 * where it was asked, are a family of their own, corrected by Holm over words, pairs and audiences. Cochran's Q over all
 * prototypes and what goes with liking describe, and decide nothing.
 * @param outcomes scored answers of the whole study, practice and void trials left out
 * @param options `verdictOnly`: no other words, no interaction, no power
 */
export function analyseTicks(
  { attributes, liking }: CheckAllSpec,
  outcomes: readonly Outcome[],
  plan: Plan,
  { verdictOnly = false }: AnalyseOptions = {},
): Analysis {
  const level = 1 - plan.risks.alpha;
  const audiences = plan.audiences.map(({ id, listeners }): Audience => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const words = verdictOnly ? [] : attributes.map((word) => wordResult(word.id, own, liking !== null, plan));
    const apart = primaryApart(own, plan);
    const primary = words.find((word) => word.primary)?.pairs[0] ?? pairResult(primaryPair(plan), apart, level);
    return {
      id: id as AudienceId,
      planned: listeners,
      outcomes: own,
      primary,
      own: apart,
      words,
      liking: liking === null || verdictOnly ? null : scaleResult(own, liking.id, plan, { models: 'apart' }).result,
    };
  });
  correct(audiences.map(({ primary }) => primary));
  correct(
    audiences.flatMap(({ words, liking, primary }) => [
      ...words.flatMap(({ pairs }) => pairs.filter((pair) => pair !== primary)),
      ...(liking?.pairs ?? []),
    ]),
  );
  return {
    decidedBy: 'exact McNemar test over listeners, or its permutation where they answered more than once',
    interaction: verdictOnly
      ? null
      : interactionOf(
          'ticked',
          audiences.flatMap(({ id, own }) => own.map(({ listener, value }) => ({ listener, audience: id, value }))),
        ),
    habituation: [],
    results: audiences.map((audience) => audienceResult(audience, audiences, plan, verdictOnly)),
  };
}

const primaryPair = (plan: Plan): [PrototypeId, PrototypeId] => pairsOf(plan)[0] as [PrototypeId, PrototypeId];
const primaryApart = (outcomes: readonly Outcome[], plan: Plan): OwnApart[] =>
  ownApart(ownRatings(outcomes, plan.primary.scale ?? ''), ...primaryPair(plan));

const pairResult = (
  [first, second]: [PrototypeId, PrototypeId],
  own: readonly OwnApart[],
  level: number,
): TickedPair => ({ first, second, ...tickedApart(own, level), pAdjusted: null });

function wordResult(attribute: string, outcomes: readonly Outcome[], liked: boolean, plan: Plan): Ticked {
  const level = 1 - plan.risks.alpha;
  const rows = ownRatings(outcomes, attribute);
  const again = tickedAgain(rows);
  return {
    attribute,
    primary: attribute === plan.primary.scale,
    ...sharesOf(rows, plan, level),
    pairs: pairsOf(plan).map((pair) => pairResult(pair, ownApart(rows, ...pair), level)),
    liking: liked ? likedWhenTicked(outcomes, attribute, level) : null,
    ...((again.withinDay || again.acrossDays) && { again }),
  };
}

/** Holm within a family, in place. */
function correct(family: readonly { p: number | null; pAdjusted: number | null }[]): void {
  const adjusted = holm(family.map(({ p }) => p));
  family.forEach((one, index) => {
    one.pAdjusted = adjusted[index] ?? null;
  });
}

function audienceResult(
  audience: Audience,
  all: readonly Audience[],
  plan: Plan,
  verdictOnly: boolean,
): AudienceResult {
  const { outcomes, primary, own, words, liking } = audience;
  const { verdict, preferred } = verdictOf(audience, all, plan);
  const { beta, smallest } = plan.risks;
  const planned = ticksPlanned(plan);
  const times = own.length === 0 ? planned : Math.max(1, Math.round(meanOf(own.map((one) => one.times))));
  const tested = all.filter(({ primary: { p } }) => p !== null).length;
  const open = !verdictOnly && (verdict === 'undecided' || verdict === 'not-enough-data');
  const needed = open ? tickedSize(smallest.value, planned, alphaEach(plan), beta) : null;
  return {
    audience: audience.id,
    verdict,
    estimate: primary.difference,
    p: primary.p,
    pAdjusted: primary.pAdjusted,
    primary: null,
    preferred,
    pairs: [],
    difference: null,
    ratings: {
      scales: liking === null ? [] : [liking],
      withoutLate: null,
      late: 0,
      ratings: outcomes.length,
      ticked: words,
    },
    scores: null,
    consistency: [],
    n: {
      listeners: new Set(outcomes.map(({ listener }) => listener)).size,
      trials: new Set(outcomes.map(({ trial }) => trial)).size,
      days: new Set(outcomes.map(({ session }) => session)).size,
      units: new Set(outcomes.flatMap(({ units }) => units)).size,
    },
    power: verdictOnly ? 0 : tickedPower(own.length, smallest.value, times, alphaEach(plan, tested)),
    alsoPossible: primary.difference && { lower: primary.difference.lower, upper: primary.difference.upper },
    wouldSettle: needed !== null && needed > own.length ? { listeners: needed } : null,
    otherRule: null,
    warnings: warningsOf(audience, plan),
  };
}

/**
 * `difference-shown` when the corrected test finds a direction; `not-enough-data` when these listeners could not have
 * reached α even of one mind, as the other audiences answered; `not-separated` when the difference of the shares is shown
 * to lie within ± the smallest worth finding, at α over the number of planned audiences (`tickedAlike`); else `undecided`.
 */
function verdictOf(
  audience: Audience,
  all: readonly Audience[],
  plan: Plan,
): { verdict: Verdict; preferred: PrototypeId | null } {
  const { alpha, smallest } = plan.risks;
  const { primary, own } = audience;
  if (primary.difference === null || primary.pAdjusted === null || bestOf(audience, all) > alpha) {
    return { verdict: 'not-enough-data', preferred: null };
  }
  if (primary.pAdjusted <= alpha) {
    const preferred = (primary.difference.value > 0 ? primary.first : primary.second) as PrototypeId;
    return { verdict: 'difference-shown', preferred };
  }
  const alike = tickedAlike(smallest.value, own, alphaEach(plan));
  return { verdict: alike ? 'not-separated' : 'undecided', preferred: null };
}

/** The corrected p that these listeners would have had, all of one mind, beside what the other audiences answered. */
function bestOf(audience: Audience, all: readonly Audience[]): number {
  const tested = all.filter(({ primary }) => primary.p !== null);
  const best = Math.min(1, 2 / 2 ** audience.own.length);
  const adjusted = holm(tested.map((one) => (one === audience ? best : one.primary.p)));
  return adjusted[tested.indexOf(audience)] ?? 1;
}

/** Keys of words, with the numbers that they need. */
function warningsOf({ outcomes, planned, own }: Audience, plan: Plan): string[] {
  const warnings: string[] = [];
  const listeners = new Set(outcomes.map(({ listener }) => listener)).size;
  if (listeners < planned) warnings.push(`fewer-listeners:${listeners}:${planned}`);
  if (listeners > planned) warnings.push(`more-listeners:${listeners}:${planned}`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) warnings.push(`these-units-only:${single}:${plan.prototypes.length}`);
  if (plan.playback === 'renders') warnings.push('renders-only');
  if (own.length < listeners) warnings.push(`listeners-incomplete:${listeners - own.length}`);
  if (new Set(outcomes.map(({ session }) => session)).size === 1) warnings.push('one-session');
  return warnings;
}
