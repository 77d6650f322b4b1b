import { methodOf } from '../../../protocols/index';
import { gainMeasure } from '../../../protocols/pair-gains';
import { priceClasses, priceSteps } from '../../../protocols/price-steps';
import { isVerdictDay } from '../../../protocols/verdict-days';
import type { PriceStepsFindings } from '../../../shared/findings-price-steps';
import type { Material } from '../part-of-findings';

/** What the step from one price class to the next buys, by audience. Undefined where prototypes have no two classes. */
export function priceStepsOf({ plan, outcomes, controlled, results }: Material): PriceStepsFindings[] | undefined {
  const classes = priceClasses(plan);
  if (classes.length === 0) return undefined;
  const measure = gainMeasure(plan);
  const counted = outcomes.filter((one) => isVerdictDay(one, plan));
  const identical = controlled.filter((one) => one.control === 'identicalPairs' && isVerdictDay(one, plan));
  return results.map((result): PriceStepsFindings => {
    const dropped = new Set(result.ratings?.screening?.dropped.map(({ listener }) => listener) ?? []);
    const own = <T extends { audience: string; listener: (typeof counted)[number]['listener'] }>(all: readonly T[]) =>
      all.filter(({ audience, listener }) => audience === result.audience && !dropped.has(listener));
    const steps = priceSteps(own(counted), own(identical), result, plan);
    return {
      audience: result.audience,
      measure,
      scale: methodOf(plan).protocol.family === 'rating' ? (plan.primary.scale ?? null) : null,
      classes: classes.map(({ rank, words, prototypes }) => ({ rank, words, prototypes: [...prototypes] })),
      steps: steps.map(({ from, to, pairs, ...step }) => ({
        from: from.rank,
        to: to.rank,
        pairs: pairs.map(([dearer, cheaper]) => ({ dearer, cheaper })),
        ...step,
      })),
    };
  });
}
