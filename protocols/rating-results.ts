import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { blockRows } from '../stats/anova-blocks';
import { friedman } from '../stats/friedman';
import { summary } from '../stats/summary';
import { allPairs } from './balanced-pairs';
import { fewestTested, overListeners, wherePossible } from './over-listeners';
import { meanOf, type OwnRatings, ownMean, ownRatings, varianceLeft } from './own-ratings';
import type { Outcome } from './protocol';
import { type FittedModel, type ModelDifference, type RatingModel, ratingModel } from './rating-model';
import type { MeanRating, ModelSummary, RatingPair, ScaleResult } from './results';

/**
 * How pairs come to their models. `together`: one model of all prototypes for all pairs, as first impressions ever had
 * it. `apart`: each pair has a model of its own, but for one that most listeners rated one of only (incomplete blocks):
 * that is told by way of the others, in the model of all.
 */
export type Models = 'together' | 'apart';

/** A pair of prototypes on one scale, with what lies behind its figures. */
export interface ComparedPair {
  /** As it is reported. */
  pair: RatingPair;
  /** What decides; null without a model, and for fewer listeners than are tested. */
  byModel: ModelDifference | null;
  /** By way of other prototypes, in a model of all: as many listeners who rated both would say as much. */
  indirect?: { listeners: number };
  /** Each listener's mean of `first` less that of `second`, for whoever rated both. */
  differences: { listener: string; value: number }[];
  /** Of those differences; null for fewer than two listeners, and where all are alike. */
  standardDeviation: number | null;
  /** How much of a single rating's variance is left in a listener's mean, on average; null without listeners. */
  varianceLeft: number | null;
}

/** With the model that was asked, or why there is none. */
type Asked = ComparedPair & { model: ModelSummary };

/** Compares pairs on one scale in one audience; the model of all prototypes is fitted once, when it is first asked for. */
export function comparesPairs(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
  models: Models,
): (pair: readonly [PrototypeId, PrototypeId]) => Asked {
  const rows = ownRatings(outcomes, scale);
  let ofAll: FittedModel | null = null;
  const all = () => {
    ofAll ??= ratingModel(outcomes, scale, plan, { careful: models === 'apart' });
    return ofAll;
  };
  return (pair) => {
    const either = rows.filter(({ prototypes }) => pair.some((id) => prototypes.has(id)));
    const both = either.filter(({ prototypes }) => pair.every((id) => prototypes.has(id)));
    const indirect = models === 'apart' && both.length * 2 < either.length;
    const fitted = models === 'together' || indirect ? all() : ratingModel(outcomes, scale, plan, { pair });
    // Who rated one of the two only says as much as half of one who rated both.
    const tested = indirect ? either.length >= 2 * fewestTested : both.length >= fewestTested;
    return {
      ...comparedPair(both, tested ? fitted.model : null, pair, 1 - plan.risks.alpha),
      model: fitted.model?.summary ?? { ...noModel, reason: fitted.reason },
      ...(indirect && { indirect: { listeners: worthOf(rows, pair) } }),
    };
  };
}

/**
 * How many listeners who rate both a comparison in blocks is worth, at most as many as rated either: those who rated each,
 * times the efficiency n(k − 1)/((n − 1)k) of k of n prototypes in a block (Yates 1936, Annals of Eugenics 7:121–140;
 * from memory).
 */
function worthOf(rows: readonly OwnRatings[], pair: readonly [PrototypeId, PrototypeId]): number {
  const [one, other] = pair.map((id) => rows.filter(({ prototypes }) => prototypes.has(id)).length) as [number, number];
  if (one === 0 || other === 0) return 0;
  const n = new Set(rows.flatMap(({ prototypes }) => [...prototypes.keys()])).size;
  const k = rows.reduce((sum, { prototypes }) => sum + prototypes.size, 0) / rows.length;
  return Math.floor(((2 / (1 / one + 1 / other)) * n * (k - 1)) / ((n - 1) * k));
}

/**
 * The first prototype against the second, p uncorrected: by the model, if there is one; else by the paired t test over
 * each listener's means. Listeners who didn't rate both are passed over.
 */
export function comparedPair(
  rows: readonly OwnRatings[],
  model: RatingModel | null,
  [first, second]: readonly [PrototypeId, PrototypeId],
  level: number,
): ComparedPair {
  const left: number[] = [];
  const differences = rows.flatMap(({ listener, prototypes }) => {
    const [one, other] = [prototypes.get(first), prototypes.get(second)];
    if (!one || !other) return [];
    left.push((varianceLeft(one) + varianceLeft(other)) / 2);
    return [{ listener, value: ownMean(one) - ownMean(other) }];
  });
  const { estimate, p, standardDeviation } = overListeners(
    'difference',
    differences.map(({ value }) => value),
    level,
  );
  const byMeans = { difference: estimate, p };
  const byModel = model?.difference(first, second) ?? null;
  const decided = byModel
    ? { difference: byModel.estimate, degreesOfFreedom: byModel.degreesOfFreedom, p: byModel.p }
    : { ...byMeans, degreesOfFreedom: p === null ? null : differences.length - 1 };
  return {
    pair: { first, second, ...decided, pAdjusted: null, byMeans },
    byModel,
    differences,
    standardDeviation,
    varianceLeft: left.length === 0 ? null : meanOf(left.sort((a, b) => a - b)),
  };
}

/** The pair that the plan puts first, as it puts it; then the others in the order of the plan. An anchor stands in none. */
export function pairsOf(plan: Plan): [PrototypeId, PrototypeId][] {
  const ids = plan.prototypes.filter(({ anchor }) => !anchor).map((prototype) => prototype.id as PrototypeId);
  const primary: [PrototypeId, PrototypeId] = [plan.primary.first as PrototypeId, plan.primary.second as PrototypeId];
  const others = allPairs(ids.length)
    .map(([a, b]): [PrototypeId, PrototypeId] => [ids[a] as PrototypeId, ids[b] as PrototypeId])
    .filter((pair) => !pair.every((id) => primary.includes(id)));
  return [primary, ...others];
}

/**
 * What one audience's ratings on one scale come to: differences of pairs by the mixed model (`ratingModel`), and beside
 * them what listeners' own means say, each listener counting by the mean of his or her sittings' means. p of pairs is
 * uncorrected, and left to whoever knows the family.
 *
 * Means, blocks and Friedman's test rest on the listeners who rated every prototype on this scale, pairs over means on
 * those who rated both of the pair. Where most rated some prototypes only (incomplete blocks), each mean rests on whoever
 * rated that one. Anchors have means, and stand in nothing else. ISO 13299:2016 asks for means per sample with analysis
 * of variance over assessors (from memory); the formulas are those of `anovaBlocks`, `friedman`, `summary` and
 * `pairedT`. Blocks take listener means as one rating each.
 * @param outcomes scored answers of one audience
 * @param models how pairs come to theirs; the model told of the scale is that of all, or of the primary pair
 * @param primaryOnly the primary pair alone
 * @returns means in the order of the plan, none for fewer than two listeners; where all listeners are alike an interval
 *   has no width, which doesn't make the mean certain. `blocks` is null for fewer than two listeners, and its f and p
 *   where listeners differ by their level only; `friedman` also where everybody ties all
 */
export function scaleResult(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
  { models = 'together', primaryOnly = false }: { models?: Models; primaryOnly?: boolean } = {},
): { result: ScaleResult; compared: ComparedPair[] } {
  const level = 1 - plan.risks.alpha;
  const ids = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const rows = ownRatings(outcomes, scale);
  const complete = rows.filter(({ prototypes }) => ids.every((id) => prototypes.has(id)));
  const scoresOf = (of: readonly PrototypeId[], from: readonly OwnRatings[]) =>
    from
      .map(({ prototypes }) => of.map((id) => ownMean(prototypes.get(id) ?? new Map())))
      // By what was rated, so that names and order of arrival move no digit.
      .sort(byContent);
  const scores = scoresOf(ids, complete);
  const compares = comparesPairs(outcomes, scale, plan, models);
  const compared = (primaryOnly ? pairsOf(plan).slice(0, 1) : pairsOf(plan)).map(compares);
  const own = outcomes.filter((outcome) => outcome.scale === scale);
  const anchors = plan.prototypes.flatMap(({ anchor }, place) => (anchor ? [place] : []));
  const withoutAnchors =
    anchors.length === 0 ? scores : scores.map((row) => row.filter((_, place) => !anchors.includes(place)));
  const means =
    models === 'apart' && complete.length * 2 < rows.length
      ? ids.flatMap((id) => {
          const whoever = rows.filter(({ prototypes }) => prototypes.has(id));
          return meansOf(scoresOf([id], whoever), [id], level);
        })
      : meansOf(scores, ids, level);
  return {
    compared,
    result: {
      scale,
      primary: scale === plan.primary.scale,
      listeners: scores.length,
      ratings: own.length,
      late: own.filter(({ late }) => late).length,
      means,
      model: modelTold(compared[0], models, ids.length - anchors.length),
      blocks: blocksOf(withoutAnchors),
      friedman: friedmanOf(withoutAnchors),
      pairs: compared.map(({ pair }) => pair),
    },
  };
}

/** A model of two prototypes says nothing of whether all differ. */
function modelTold(primary: Asked | undefined, models: Models, prototypes: number): ModelSummary {
  const told = primary?.model ?? noModel;
  return models === 'apart' && !primary?.indirect && prototypes > 2 ? { ...told, prototypes: null } : told;
}

const noModel: ModelSummary = {
  fixed: [],
  random: [],
  residual: null,
  leftOut: [],
  prototypes: null,
  singular: false,
  reason: null,
};

function byContent(a: readonly number[], b: readonly number[]): number {
  const place = a.findIndex((value, i) => value !== b[i]);
  return place < 0 ? 0 : (a[place] as number) - (b[place] as number);
}

function meansOf(scores: readonly (readonly number[])[], ids: readonly PrototypeId[], level: number): MeanRating[] {
  return ids.flatMap((prototype, place) => {
    const values = scores.map((row) => row[place] as number);
    const found = wherePossible(() => summary({ values, level }));
    if (found === null) return [];
    const { mean: value, lower, upper } = found;
    return [{ name: 'mean', prototype, value, lower, upper, level }];
  });
}

function blocksOf(scores: readonly (readonly number[])[]): ScaleResult['blocks'] {
  if (scores.length < 2) return null;
  const items = wherePossible(() => blockRows(scores)[0]);
  return { f: items?.f ?? null, p: items?.p ?? null };
}

function friedmanOf(scores: readonly (readonly number[])[]): ScaleResult['friedman'] {
  const ranked = wherePossible(() => friedman({ scores }));
  return ranked && { chiSquare: ranked.chiSquare, p: ranked.p };
}
