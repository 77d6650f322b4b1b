import type { Plan } from '../shared/plan';
import type { Outcome } from './protocol';
import type { RatedScale } from './rated-scale';
import { ratersOf } from './raters';
import type { RatingDetail, ScaleResult } from './results';
import { spreadsOf } from './spreads';
import { unitMeans } from './unit-means';

/**
 * What describes one audience's ratings and decides nothing: how they lie, how each listener rates, and means of units.
 * @param results of that audience, by scale
 */
export function ratingsDescribed(
  outcomes: readonly Outcome[],
  results: readonly ScaleResult[],
  scales: readonly RatedScale[],
  plan: Plan,
): Partial<RatingDetail> {
  const units = unitMeans(outcomes, plan.primary.scale ?? '', plan);
  return {
    scales: results.map((result) => {
      const scale = scales.find(({ id }) => id === result.scale) ?? { id: result.scale };
      return { ...result, spreads: spreadsOf(outcomes, scale, plan) };
    }),
    raters: ratersOf(outcomes, plan.primary.scale ?? '', plan),
    ...(units && { units }),
  };
}

/** Keys of words for what the description warns of. */
export function warningsOfDescription({ scales, raters = [] }: RatingDetail): string[] {
  const noted = (note: string) => raters.filter((rater) => rater.note === note).length;
  const [chance, turned] = [noted('at-random'), noted('the-other-way')];
  return [
    ...scales.flatMap(({ scale, spreads = [] }) =>
      spreads.filter(({ twoPeaks }) => twoPeaks).map(({ prototype }) => `two-peaks:${prototype}:${scale}`),
    ),
    ...(chance > 0 ? [`rater-at-random:${chance}`] : []),
    ...(turned > 0 ? [`rater-other-way:${turned}`] : []),
  ];
}
