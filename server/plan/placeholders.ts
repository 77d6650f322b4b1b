import { candidate } from './candidate';
import type { Draft } from './draft';

/** The plan that a draft would be once it is filled in: names and serials don't change what a study can find. */
export function withPlaceholders(draft: Draft): unknown {
  return candidate({
    ...draft,
    title: 'x',
    question: 'x',
    product: '',
    prices: {},
    prototypes: draft.prototypes.map((prototype, i) => ({
      ...prototype,
      name: `prototype ${i}`,
      units: prototype.units.map((unit, j) => ({ ...unit, serial: `unit ${i}.${j}`, note: '' })),
    })),
    excerpts: draft.excerpts.map((excerpt, i) => ({ ...excerpt, name: `excerpt ${i}` })),
    audiences: draft.audiences.map((audience, i) => ({
      ...audience,
      name: audience.name.trim() || `Audience ${i + 1}`,
    })),
    attribute: draft.attribute.trim() || 'x',
    closing: { ...draft.closing, asked: false },
    scales: draft.scales.map(named),
    rights: draft.rights.map(named),
    liking: named(draft.liking, 0),
  });
}

const named = <T extends { name: string; low: string; high: string; definition?: string }>(scale: T, i: number): T => ({
  ...scale,
  name: scale.name.trim() || `Scale ${i + 1}`,
  low: scale.low.trim() || 'low',
  high: scale.high.trim() || 'high',
  ...(scale.definition === undefined ? {} : { definition: scale.definition.trim() || 'x' }),
});
