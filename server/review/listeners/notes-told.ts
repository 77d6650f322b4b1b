import type { AudienceResult } from '../../../protocols/results';
import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { Material } from '../part-of-findings';

/**
 * A result whose notes on listeners are those that stand beside it, so that they are told once and alike. Nobody is noted
 * where tastes were asked for: whoever likes what the others don't is no worse a listener for it. All audiences together
 * have none of their own.
 */
export function withNotesTold(
  result: AudienceResult,
  listeners: readonly ListenersFindings[] | undefined,
  label: Material['label'],
): AudienceResult {
  const { ratings } = result;
  if (!ratings?.raters) return result;
  const own = listeners?.find(({ audience, kind }) => audience === result.audience && kind === 'rating');
  const scale = own?.kind === 'rating' ? own.scales.find(({ primary }) => primary) : undefined;
  const { raters, ...rest } = ratings;
  const warnings = result.warnings.filter((key) => !key.startsWith('rater-'));
  if (!scale || scale.taste) return { ...result, ratings: rest, warnings };
  const notes = new Map(scale.listeners.map(({ listener, note }) => [listener, note]));
  const told = raters.map((one) => ({ ...one, note: notes.get(label(one.listener)) ?? null }));
  const count = (note: string) => told.filter((one) => one.note === note).length;
  const [chance, turned] = [count('at-random'), count('the-other-way')];
  return {
    ...result,
    ratings: { ...rest, raters: told },
    warnings: [
      ...warnings,
      ...(chance > 0 ? [`rater-at-random:${chance}`] : []),
      ...(turned > 0 ? [`rater-other-way:${turned}`] : []),
    ],
  };
}
