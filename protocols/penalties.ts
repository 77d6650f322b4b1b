import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { type JustAboutRightGroup, justAboutRight } from '../stats/just-about-right';
import { holm } from './holm';
import { wherePossible } from './over-listeners';
import { type OwnRatings, ownMean, ownRatings } from './own-ratings';
import type { Outcome } from './protocol';
import type { RatingDetail } from './results';

type Penalty = NonNullable<RatingDetail['penalties']>[number];

/** A side with a smaller share of the listeners isn't judged: so few turn no design around (common practice). */
export const fewestOnSide = 0.2;

/** A listener's mean beyond this, in steps of the scale, is too little or too much; up to it, just about right. */
const halfway = 0.5;

/**
 * What too little and too much of something cost in liking, for each prototype, attribute and audience: shares of
 * listeners on either side, and by how much less they like the prototype than those for whom it is just about right.
 *
 * The listener is the unit: his or her mean over all times decides the side (below −½ too little, above +½ too much; on
 * the half, just about right: the team is told to change something only by who says so), and the mean of the liking is
 * what counts. p is Welch's, two-sided (`justAboutRight` has the sources). Holm over prototypes, attributes, sides and
 * audiences, of sides with at least a fifth of the listeners, which is told by the sides alone and never by the liking;
 * the others have no corrected p. It explores: no verdict rests on it.
 * @param scales just-about-right scales of the plan, stored from −2 (too little) over 0 to 2
 * @param outcomes by audience: scored answers of the listeners that count
 * @returns by audience, attribute by attribute in the order of the plan; nothing of a prototype that nobody rated on both
 */
export function penaltiesOf(
  scales: readonly { id: string }[],
  outcomes: ReadonlyMap<AudienceId, readonly Outcome[]>,
  plan: Plan,
): Map<AudienceId, Pick<RatingDetail, 'penalties'>> {
  const found = [...outcomes].map(([audience, own]) => {
    const liking = ownRatings(own, 'liking');
    const penalties = scales.flatMap(({ id }) => {
      const sides = ownRatings(own, id);
      return plan.prototypes.flatMap((one) => penaltyOf(id, one.id as PrototypeId, liking, sides) ?? []);
    });
    return { audience, penalties };
  });
  const judged = found
    .flatMap(({ penalties }) => penalties.flatMap(({ low, high }) => [low, high]))
    .filter(({ share }) => share >= fewestOnSide - 1e-9);
  const adjusted = holm(judged.map(({ p }) => p));
  judged.forEach((side, i) => {
    side.pAdjusted = adjusted[i] ?? null;
  });
  return new Map(found.map(({ audience, penalties }) => [audience, { penalties }]));
}

function penaltyOf(
  scale: string,
  prototype: PrototypeId,
  liking: readonly OwnRatings[],
  sides: readonly OwnRatings[],
): Penalty | null {
  const meansOf = (rows: readonly OwnRatings[]) =>
    new Map(
      rows.flatMap(({ listener, prototypes }) => {
        const own = prototypes.get(prototype);
        return own === undefined ? [] : [[listener, ownMean(own)] as const];
      }),
    );
  const liked = meansOf(liking);
  const rows = [...meansOf(sides)]
    .flatMap(([listener, mean]) => {
      const value = liked.get(listener);
      return value === undefined ? [] : [{ liking: value, level: sideOf(mean) }];
    })
    // By what was rated, so that names and order of arrival move no digit.
    .sort((a, b) => a.level - b.level || a.liking - b.liking);
  if (rows.length === 0) return null;
  const of = (level: number) => rows.filter((row) => row.level === level).length / rows.length;
  // Null where it is just about right for nobody: then there is nothing to compare with.
  const told = wherePossible(() =>
    justAboutRight({ liking: rows.map(({ liking }) => liking), level: rows.map(({ level }) => level) }),
  );
  const side = (group: JustAboutRightGroup | undefined, share: number): Penalty['low'] => ({
    share,
    drop: group?.drop ?? null,
    p: group?.p ?? null,
    pAdjusted: null,
  });
  return {
    scale,
    prototype,
    listeners: rows.length,
    right: of(0),
    low: side(told?.low, of(-1)),
    high: side(told?.high, of(1)),
  };
}

/** Means of whole steps: what differs from a half by less is the half, but for rounding. */
const rounding = 1e-9;
function sideOf(mean: number): -1 | 0 | 1 {
  if (mean < -halfway - rounding) return -1;
  return mean > halfway + rounding ? 1 : 0;
}
