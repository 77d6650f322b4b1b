import { type Plan, planLimits } from '../../shared/plan';
import type { Draft } from './draft';
import { fieldsOf } from './method-fields';

/** Anchors of a draft: prototypes that are made here of the reference, so that a box is all there is of each. */

export type AnchorName = `${(typeof planLimits.anchors)[number]}`;
export const anchorNames = planLimits.anchors.map((hertz) => `${hertz}` as const);

export const anchorName = (hertz: number): string => `Anchor ${hertz / 1000}\u00a0kHz`;

/** Where a method has none, no boxes count. */
export function anchorsIn(draft: Draft): Plan['prototypes'] {
  if (!fieldsOf(draft.method).anchors) return [];
  return planLimits.anchors
    .filter((hertz) => draft.anchors[`${hertz}`])
    .map((lowPassHz) => ({ id: `anchor-${lowPassHz}`, name: anchorName(lowPassHz), anchor: { lowPassHz }, units: [] }));
}

/** All samples by name, the anchors among them. */
export const samplesOf = (draft: Draft): { id: string; name: string }[] => [...draft.prototypes, ...anchorsIn(draft)];
