import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { alphaEach } from './alpha-each';
import { holm } from './holm';
import { type OverListeners, overListeners, within } from './over-listeners';
import { meanOf, type OwnRatings, type OwnSittings, ownRatings } from './own-ratings';
import type { Outcome } from './protocol';
import { acrossDays, withinDay } from './repeatability';
import type { Habituation } from './results';

/**
 * What time did to ratings, for each audience and scale: the first sitting against the later ones, drift per sitting,
 * and how alike the same listener rates the same sample again.
 *
 * The listener is the unit throughout: one difference or slope each, then mean, interval and t test over them. A
 * sitting is a listener's own first, second …, so whoever missed a session is not behind. Drift on the primary scale
 * is corrected over audiences by Holm; the other scales are a family of their own, over scales and audiences. `drifting`
 * when the corrected test finds a slope; `stable` when the slope of all prototypes together, over all planned sessions,
 * is shown to lie within ± the smallest difference worth finding, by two one-sided tests (`equivalence`) at α over the
 * size of the family; else `unknown`. That margin is in points of the primary scale and is taken for the others too.
 *
 * Source: least squares; ISO 13299:2016 asks that assessors' repeatability be looked at (from memory). A mixed model
 * with sessions in it will decide later.
 * @param scales of the plan's form
 * @param outcomes scored answers of the whole study
 * @returns by audience, and within it by scale, in the order of the plan; nothing where no sample was rated twice
 */
export function habituationOf(
  scales: readonly { id: string }[],
  outcomes: readonly Outcome[],
  plan: Plan,
): Habituation[] {
  const found = plan.audiences.flatMap(({ id }) => {
    const own = outcomes.filter(({ audience }) => audience === id);
    return scales.flatMap((scale) => {
      const rows = ownRatings(own, scale.id);
      return rows.some(ratedAgain) ? [onScale(id as AudienceId, scale.id, rows, plan)] : [];
    });
  });
  const primary = found.filter(({ result }) => result.scale === plan.primary.scale);
  const others = found.filter(({ result }) => result.scale !== plan.primary.scale);
  judge(primary, alphaEach(plan), plan);
  judge(others, alphaEach(plan) / Math.max(1, scales.length - 1), plan);
  return found.map(({ result }) => result);
}

interface OnScale {
  result: Habituation;
  /** Of all prototypes together, one a listener. */
  slopes: number[];
}

function onScale(audience: AudienceId, scale: string, rows: readonly OwnRatings[], plan: Plan): OnScale {
  const ids = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const every = [...ids.map((id) => [id]), ids];
  const over = (name: string, figure: (sittings: OwnSittings[], own: OwnRatings) => number | null) =>
    every.map((asked, place) => {
      const values = rows.flatMap((own) => {
        const value = figure(
          asked.flatMap((id) => own.prototypes.get(id) ?? []),
          own,
        );
        return value === null ? [] : [value];
      });
      return { prototype: ids[place] ?? null, values, ...overListeners(name, values, 1 - plan.risks.alpha) };
    });
  const later = over('first-against-later', laterMinusFirst);
  const drift = over('slope', slopeOf);
  return {
    slopes: drift.at(-1)?.values ?? [],
    result: {
      audience,
      scale,
      firstAgainstLater: later.map(({ prototype, estimate, listeners }) => ({
        prototype,
        difference: estimate,
        listeners,
      })),
      drift: drift.map(({ prototype, estimate, p, listeners }: OverListeners & { prototype: PrototypeId | null }) => ({
        prototype,
        slope: estimate,
        p,
        listeners,
      })),
      pAdjusted: null,
      word: 'unknown',
      repeatability: {
        withinDay: withinDay(rows, 1 - plan.risks.alpha),
        acrossDays: acrossDays(rows, 1 - plan.risks.alpha),
      },
    },
  };
}

/** Holm within a family and the word for each, in place. */
function judge(family: readonly OnScale[], alphaStable: number, plan: Plan): void {
  const { alpha, smallest } = plan.risks;
  const steps = Math.max(1, plan.sessions.count - 1);
  const adjusted = holm(family.map(({ result }) => result.drift.at(-1)?.p ?? null));
  family.forEach(({ result, slopes }, index) => {
    const pAdjusted = adjusted[index] ?? null;
    result.pAdjusted = pAdjusted;
    if (pAdjusted !== null && pAdjusted <= alpha) result.word = 'drifting';
    else if (within(smallest.value / steps, slopes, alphaStable)) result.word = 'stable';
  });
}

const ratedAgain = ({ prototypes }: OwnRatings): boolean =>
  [...prototypes.values()].some(
    (sittings) => sittings.size > 1 || [...sittings.values()].some(({ length }) => length > 1),
  );

/**
 * The mean of a listener's later sittings less that of the first one in which he or she rated anything, over the
 * prototypes that were rated both then and later; null where none was.
 */
function laterMinusFirst(asked: readonly OwnSittings[], { prototypes }: OwnRatings): number | null {
  const first = Math.min(...[...prototypes.values()].flatMap((sittings) => [...sittings.keys()]));
  const differences = asked.flatMap((sittings) => {
    const then = sittings.get(first);
    const later = [...sittings].filter(([sitting]) => sitting !== first).map(([, values]) => meanOf(values));
    return then && later.length > 0 ? [meanOf(later) - meanOf(then)] : [];
  });
  return differences.length === 0 ? null : meanOf(differences);
}

/**
 * A listener's slope over own sittings, in points per sitting: least squares of the sittings' means on their number, one
 * line for each prototype and all of them parallel. So each prototype is compared with itself only, and one that is
 * missing from some sittings makes no drift; with none missing, it is the slope of the means over prototypes. Null
 * where no prototype was rated in two sittings.
 */
function slopeOf(asked: readonly OwnSittings[]): number | null {
  let [above, below] = [0, 0];
  for (const sittings of asked) {
    const middle = meanOf([...sittings.keys()]);
    const level = meanOf([...sittings.values()].map(meanOf));
    for (const [sitting, values] of sittings) {
      above += (sitting - middle) * (meanOf(values) - level);
      below += (sitting - middle) ** 2;
    }
  }
  return below === 0 ? null : above / below;
}
