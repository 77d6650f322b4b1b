import type { Plan } from '../../shared/plan';
import type { SentRating } from '../../shared/wire';
import { valuesAsked } from './asked';
import type { Given } from './given';
import { again, hasAll, scaleOf, valueOn } from './scale-value';
import type { TrialRows } from './trial-rows';

/** All scales of a first impression, with when each was touched. */
export function ratingsIn(trial: TrialRows, plan: Plan): Given | null {
  const asked = valuesAsked(plan);
  const { firstImpression } = plan;
  const limit = ((firstImpression?.windowSeconds ?? 0) + (firstImpression?.answerSeconds ?? 0)) * 1000;
  const ratings: SentRating[] = [];
  const seen = new Map<string, number>();
  let whole = true;
  for (const row of trial.rows) {
    const scale = scaleOf(row, asked);
    const value = scale && valueOn(row, scale);
    const touched = row.cells.whole('touched_ms', 0, 1e9);
    const late = row.cells.yes('late');
    if (scale === null || value === null || again(row, scale, seen, scale.id)) whole = false;
    else
      ratings.push({
        scale: scale.id,
        value,
        touched: { sincePlaying: touched ?? (late ? limit + 1 : null), wall: 0 },
      });
  }
  return whole &&
    hasAll(
      trial,
      asked.map(({ id, name }) => ({ key: id, name })),
      seen,
    )
    ? { ratings }
    : null;
}
