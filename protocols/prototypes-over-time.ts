import type { AudienceId, ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { comparedPlan } from './controls';
import { holm } from './holm';
import { overListeners } from './over-listeners';
import { meanOf, ratedPrototype } from './own-ratings';
import type { Outcome } from './protocol';
import type { Estimate } from './results';
import { bySitting, figureMeasure, gradedAlone, heardIn, rated } from './sitting-figures';
import { leastSquares } from './sitting-slope';

/** How one prototype was rated over the sittings, on the primary scale. */
export interface PrototypeOverTime {
  prototype: PrototypeId;
  /** Per doubling of hearings of this prototype, over listeners' own slopes. */
  slope: Estimate | null;
  p: number | null;
  /** Corrected over prototypes and audiences by Holm, a family of their own. */
  pAdjusted: number | null;
  /** Of the slope. */
  listeners: number;
  /** One row a listener: the mean in each own sitting, from the first on; null where it wasn't rated. */
  rows: { listener: ListenerId; means: (number | null)[] }[];
}

/**
 * Each prototype's own slope on log2 of how often the listener had heard it, with the listener as the unit, as `overTime`
 * has it for the primary pair. Nothing where a method has no ratings of single samples.
 * @param audiences with their scored answers, without controls
 */
export function prototypesOverTime(
  audiences: readonly { id: AudienceId; own: readonly Outcome[] }[],
  plan: Plan,
): Map<AudienceId, PrototypeOverTime[]> {
  if (figureMeasure(plan).of !== 'points' || plan.method.id === 'comparison-rating') return new Map();
  const level = 1 - plan.risks.alpha;
  const alone = gradedAlone(plan);
  const found = audiences.map(({ id, own }) => {
    const onScale = rated(own, plan).filter(({ scale }) => scale === plan.primary.scale);
    return {
      id,
      prototypes: comparedPlan(plan).prototypes.flatMap(({ id: prototype }) => {
        const about = onScale.filter((outcome) => (ratedPrototype(outcome) as string) === prototype);
        return about.length === 0 ? [] : [ofPrototype(prototype as PrototypeId, about, alone, level)];
      }),
    };
  });
  const family = found.flatMap(({ prototypes }) => prototypes);
  holm(family.map(({ p }) => p)).forEach((p, i) => {
    (family[i] as PrototypeOverTime).pAdjusted = p;
  });
  return new Map(found.map(({ id, prototypes }) => [id, prototypes]));
}

function ofPrototype(
  prototype: PrototypeId,
  about: readonly Outcome[],
  alone: boolean,
  level: number,
): PrototypeOverTime {
  const listeners = new Map<ListenerId, { sitting: number; heard: number; value: number }[]>();
  for (const { listener, sitting, own } of bySitting(about)) {
    const figure = { sitting, heard: heardIn(own, alone), value: meanOf(own.map(({ value }) => value)) };
    listeners.set(listener, [...(listeners.get(listener) ?? []), figure]);
  }
  const slopes = [...listeners.values()].flatMap((sittings) => {
    const slope = leastSquares(sittings);
    return slope === null ? [] : [slope];
  });
  const { estimate, p } = overListeners('per-doubling', slopes, level);
  return {
    prototype,
    slope: estimate,
    p,
    pAdjusted: null,
    listeners: slopes.length,
    rows: [...listeners].map(([listener, sittings]) => {
      const last = sittings.at(-1)?.sitting ?? 0;
      const means = Array.from(
        { length: last },
        (_, i) => sittings.find(({ sitting }) => sitting === i + 1)?.value ?? null,
      );
      return { listener, means };
    }),
  };
}
