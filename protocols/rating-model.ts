import type { PrototypeId } from '../shared/brands';
import { handsOver, type Plan } from '../shared/plan';
import { tQuantile, tUpper } from '../stats/distributions';
import { StatsError } from '../stats/errors';
import { type FittedMixedModel, fittedMixedModel, type LevelPair } from '../stats/mixed-model';
import { tInterval } from '../stats/t-interval';
import type { Outcome } from './protocol';
import { type Row, rowsOf, rowsOfPair } from './rating-rows';
import type { Estimate, FixedTerm, LeftOut, ModelSummary, RandomTerm } from './results';

/** A difference of two prototypes as the model has it. */
export interface ModelDifference {
  estimate: Estimate;
  standardError: number;
  degreesOfFreedom: number;
  p: number;
}

export interface RatingModel {
  summary: ModelSummary;
  /** Mean of `first` less that of `second`; null where either wasn't rated. */
  difference(first: PrototypeId, second: PrototypeId): ModelDifference | null;
}

/** A model, or why there is none. */
export type FittedModel =
  | { model: RatingModel; reason: null }
  | { model: null; reason: NonNullable<ModelSummary['reason']> };

export interface ModelOptions {
  /** The model of these two alone. */
  pair?: readonly [PrototypeId, PrototypeId] | null;
  /** Units that vary leave no more degrees of freedom than there are units to tell by. Left out: as for a pair. */
  careful?: boolean;
}

/** Ratings that must be left over, beside what terms take, for the conditions of hearing to be in the model. */
const toSpare = 6;

/**
 * The mixed model that decides about ratings on one scale in one audience. Random: listener × prototype, session within
 * listener, unit within prototype; fixed: listener, prototype, excerpt, position and the log of exposure; restricted
 * likelihood, degrees of freedom by Satterthwaite (`mixedModel` has the sources).
 *
 * Listeners are fixed, so that prototypes are compared within listeners and nobody's own level counts. As a random term
 * they would often come out with a variance of zero in small panels, and the test would then count on degrees of freedom
 * that it doesn't have: up to 7.0 % false alarms at 5 % with eight listeners and two prototypes, against 5.5 %. Units stay
 * random: with two of each and units that differ much it errs in up to 7.0 %, since two units tell little about how far
 * units lie apart; taken for alike they would let it err in 56 to 60 %. `tests/bench/results/rating-errors.txt` has all.
 *
 * A term stands in it if who heard what, and when, can tell it from the others: never by what was rated. So the tastes of
 * listeners (listener × prototype) need somebody who rated a sample twice, sessions somebody who came twice, units a prototype with two of them;
 * excerpt, position and exposure need some that differ, and six ratings to spare. Exposure is left out where one of the
 * samples is an open reference besides: that is heard about twice as often as any other, so that the two are nearly one
 * and the same, and intervals were up to 2.4 times as wide. What is left out is said, with the reason.
 * With a `pair` the model is of these two alone, with a residual of their own. Grades at an end of a scale spread less:
 * were a reference or a hopeless sample in the same model, it would take the two for surer than they are. With two of
 * four samples at the ends a model of all called the others different in 8.7 to 12.2 % at 5 %, a model of the pair in
 * 5.2 % (`tests/bench/results/scale-ends.txt`). Samples that are rated together share what their trial does to all of them: trials are a random term, where there
 * are more of them than sittings. And where it is `careful`, units that come out as different leave no more degrees of
 * freedom than the units of both, less two: so it errs in 4.7 to 5.9 % where units vary much more than ratings do,
 * against 6.9 to 7.3 % by Satterthwaite's alone, at the price of power (`tests/bench/results/unit-power.txt`). First impressions
 * keep the one model that they ever had. `tests/bench/results/grade-nulls.txt` has the false alarms of all methods.
 * @param outcomes scored answers of one audience; those on other scales are passed over
 * @returns a reason where there is no model: `too-few` ratings, listeners or prototypes for it, `told-exactly` where
 *   listeners and prototypes leave no residual, `not-converged`
 */
export function ratingModel(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
  { pair = null, careful = pair !== null }: ModelOptions = {},
): FittedModel {
  const rows = pair ? rowsOfPair(outcomes, scale, plan, pair) : rowsOf(outcomes, scale, plan);
  const { fixed, random, leftOut } = termsFor(rows, plan);
  const level = 1 - plan.risks.alpha;
  for (;;) {
    try {
      const result = fittedMixedModel({
        rows,
        response: 'rating',
        fixed: ['listener', 'prototype', ...fixed],
        random: random.map((term) => ({ group: groups[term] })),
        covariates: ['exposure'],
        level,
        compare: 'prototype',
      });
      const most = careful ? degreesOfUnits(rows) : Infinity;
      return { model: modelOf(result, { fixed, random, leftOut }, { level, most }, plan), reason: null };
    } catch (error) {
      if (!(error instanceof StatsError)) throw error;
      if (error.code === 'no-variation') return { model: null, reason: 'told-exactly' };
      if (error.code === 'not-converged') return { model: null, reason: 'not-converged' };
      const term = notTold(error, fixed, random);
      if (term === null) return { model: null, reason: 'too-few' };
      leftOut.push({ term, reason: 'not-told-apart' });
    }
  }
}

const groups: Record<RandomTerm, string | string[]> = {
  'listener-prototype': ['listener', 'prototype'],
  session: ['listener', 'session'],
  trial: ['listener', 'session', 'trial'],
  unit: 'unit',
};

/** Takes the term out that rows can't tell from the others, and names it; null where without it there is no model. */
function notTold(
  { path, got, code }: StatsError,
  fixed: FixedTerm[],
  random: RandomTerm[],
): FixedTerm | RandomTerm | null {
  if (code === 'not-enough-data' && path === 'rows') return fixed.pop() ?? null;
  if (code !== 'not-identified') return null;
  const [kind, place] = path.split('.');
  if (kind === 'fixed') return Number(place) < 2 ? null : (fixed.splice(Number(place) - 2, 1)[0] ?? null);
  const named = got.split(', ');
  const at =
    place === undefined
      ? random.findLastIndex((term) => named.includes([groups[term]].flat().join(':')))
      : Number(place);
  return at < 0 ? null : (random.splice(at, 1)[0] ?? null);
}

/** What the model can hold, by who heard what and when. */
function termsFor(rows: readonly Row[], plan: Plan): { fixed: FixedTerm[]; random: RandomTerm[]; leftOut: LeftOut[] } {
  const count = (key: (row: Row) => string | number) => new Set(rows.map(key)).size;
  const [listeners, prototypes] = [count(({ listener }) => listener), count(({ prototype }) => prototype)];
  const random: RandomTerm[] = [];
  const leftOut: LeftOut[] = [];
  const add = (term: RandomTerm, holds: boolean, reason: LeftOut['reason']) => {
    if (holds) random.push(term);
    else leftOut.push({ term, reason });
  };
  const cells = count(({ listener, prototype }) => `${listener} ${prototype}`);
  add('listener-prototype', cells < rows.length, 'not-repeated');
  add('session', count(({ listener, session }) => `${listener} ${session}`) > listeners, 'one-session');
  // A sitting of one trial is that trial.
  const trials = count(({ listener, session, trial = 0 }) => `${listener} ${session} ${trial}`);
  if (trials > count(({ listener, session }) => `${listener} ${session}`)) random.push('trial');
  // Of renders there are no units, so nothing of them is missing either.
  if (handsOver(plan)) add('unit', count(({ unit }) => unit) > prototypes, 'one-unit-each');
  const fixed: FixedTerm[] = [];
  let spare = rows.length - prototypes - (listeners - 1);
  for (const term of ['excerpt', 'position', 'exposure'] as const) {
    const levels = count((row) => row[term]);
    const columns = term === 'exposure' ? 1 : levels - 1;
    if (levels < 2) leftOut.push({ term, reason: 'same-for-all' });
    else if (term === 'exposure' && rows.some((row) => row.openly)) leftOut.push({ term, reason: 'not-told-apart' });
    else if (spare - columns < toSpare) leftOut.push({ term, reason: 'too-few-ratings' });
    else {
      fixed.push(term);
      spare -= columns;
    }
  }
  return { fixed, random, leftOut };
}

function modelOf(
  { variance, residual, test, pairs = [], singular }: FittedMixedModel,
  { fixed, random, leftOut }: ReturnType<typeof termsFor>,
  { level, most }: { level: number; most: number },
  plan: Plan,
): RatingModel {
  const placeOf = new Map(plan.prototypes.map(({ id }, place) => [id as PrototypeId, String(place)]));
  const prototypes = test('prototype');
  const sd = (value: number) => Math.sqrt(value);
  const unit = variance[random.indexOf('unit')]?.value ?? 0;
  const compared = { level, most: random.includes('unit') && unit > 0 ? most : Infinity };
  return {
    summary: {
      fixed: ['listener', 'prototype', ...fixed],
      random: random.map((term, k) => ({ term, standardDeviation: sd(variance[k]?.value ?? 0) })),
      residual: sd(residual),
      leftOut,
      prototypes: {
        f: prototypes.f,
        numerator: prototypes.numerator,
        denominator: prototypes.denominator,
        p: prototypes.p,
      },
      singular,
      reason: null,
    },
    difference(first, second) {
      const [a, b] = [placeOf.get(first), placeOf.get(second)];
      const straight = pairs.find((pair) => pair.a === a && pair.b === b);
      const turned = pairs.find((pair) => pair.a === b && pair.b === a);
      if (straight) return differenceOf(straight, 1, compared);
      return turned ? differenceOf(turned, -1, compared) : null;
    },
  };
}

function differenceOf(
  pair: LevelPair,
  sign: 1 | -1,
  { level, most }: { level: number; most: number },
): ModelDifference {
  const { difference, standardError } = pair;
  const bounded = pair.degreesOfFreedom > most;
  const degreesOfFreedom = bounded ? most : pair.degreesOfFreedom;
  const p = bounded ? 2 * tUpper(Math.abs(difference) / standardError, most) : pair.p;
  const limits = bounded ? tInterval(difference, standardError, most, (1 - level) / 2) : pair;
  const [lower, upper] = sign === 1 ? [limits.lower, limits.upper] : [-limits.upper, -limits.lower];
  // Plus nothing: a difference of nothing is no −0.
  const estimate = { name: 'difference', value: sign * difference + 0, lower, upper, level };
  return { estimate, standardError, degreesOfFreedom, p };
}

/** So many units, less one for each prototype, tell how far units of one prototype lie apart. */
function degreesOfUnits(rows: readonly Row[]): number {
  return new Set(rows.map(({ unit }) => unit)).size - new Set(rows.map(({ prototype }) => prototype)).size;
}

/** Whether two one-sided tests at that α each show the difference to lie within ± margin (Schuirmann 1987). */
export function withinByModel(margin: number, difference: ModelDifference, alpha: number): boolean {
  const { estimate, standardError, degreesOfFreedom } = difference;
  const reach = -tQuantile(alpha, degreesOfFreedom) * standardError;
  return Math.abs(estimate.value) + reach < margin;
}
