import type { AudienceResult } from '../../../protocols/results';
import type { UnitsApart } from '../../../protocols/units-apart';
import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';

/**
 * How far units of a prototype lie apart: the random term of the verdict's own model where it has one, since that is what
 * made the verdict more cautious; else by moments over all prototypes, each weighing by its units less one. Null where no
 * prototype has two units that were heard.
 */
export function unitSpread(
  { ratings }: AudienceResult,
  prototypes: readonly { units: readonly unknown[]; apart: UnitsApart | null }[],
): UnitEffectsFindings['spread'] {
  const several = prototypes.filter(({ units }) => units.length > 1);
  if (several.length === 0) return null;
  const model = ratings?.scales.find(({ primary }) => primary)?.model;
  const unit = model?.random.find(({ term }) => term === 'unit');
  if (model && unit && model.residual !== null) {
    const all = [...model.random, { term: 'rest' as const, standardDeviation: model.residual }];
    const total = all.reduce((sum, { standardDeviation }) => sum + standardDeviation ** 2, 0);
    return {
      by: 'model',
      units: unit.standardDeviation,
      terms: total > 0 ? all.map((one) => ({ ...one, share: one.standardDeviation ** 2 / total })) : [],
    };
  }
  const told = several.flatMap(({ units, apart }) =>
    apart?.variance == null ? [] : [{ variance: apart.variance, weight: units.length - 1 }],
  );
  const weights = told.reduce((sum, { weight }) => sum + weight, 0);
  const pooled = told.reduce((sum, { variance, weight }) => sum + weight * variance, 0) / weights;
  return { by: 'moments', units: weights > 0 ? Math.sqrt(Math.max(0, pooled)) : null, terms: [] };
}
