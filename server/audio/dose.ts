/**
 * How much of what an ear may take in a week or a day listening uses up. Estimates from estimated levels: no hearing test
 * and no medical advice, and local rules come first.
 */

/** A week by WHO and ITU-T H.870 (2018/2022) for adults and for sensitive ears, children's among them; a day by NIOSH. */
export type DoseScheme = 'week' | 'week-sensitive' | 'day';

/** Listening at one level. */
export interface Exposure {
  /** dBA at the ear; null where it isn't known. */
  laeq: number | null;
  hours: number;
}

export interface Dose {
  /** Share of the allowance, 1 is all of it; null where no level is known of anything that was listened to. */
  share: number | null;
  /** Hours at a level that isn't known, which no share counts: with any, `share` is a least. */
  unknownHours: number;
}

/** From where on a dose is warned of, and held. */
export const doseLimits = { warn: 0.5, hold: 1 } as const;

/** No listening is planned above this, in dBA: the upper action value of directive 2003/10/EC, article 3, as a level. */
export const mostPlannedLaeq = 85;

/** ITU-T H.870: 100 % is 1.6 Pa²h in seven days, which is 80 dBA for 40 hours; 75 dBA for sensitive ears. */
const weekHours = 40;
const weekLevels = { week: 80, 'week-sensitive': 75 } as const;

/** NIOSH 1998, “Criteria for a recommended standard: occupational noise exposure”, publication 98-126: 8 hours, 3 dB. */
const niosh = { level: 85, hours: 8, exchangeDb: 3 } as const;

/**
 * How long one may listen at a level until 100 %, in hours: in the week 40 / 10^((L − 80)/10) (ITU-T H.870), in the day
 * 8 / 2^((L − 85)/3) (NIOSH 98-126, 1.1.1). The day may come out longer than it is.
 */
export function allowedHours(laeq: number, scheme: DoseScheme): number {
  if (!Number.isFinite(laeq)) throw new RangeError(`A level is a number of dBA, not ${laeq}.`);
  if (scheme === 'day') return niosh.hours / 2 ** ((laeq - niosh.level) / niosh.exchangeDb);
  return weekHours / 10 ** ((laeq - weekLevels[scheme]) / 10);
}

/**
 * What exposures add up to: the sum of time over allowed time (ITU-T H.870: CSD = Σ T/40 · 10^((L − 80)/10); NIOSH: D =
 * Σ C/T). All levels count, those below any threshold too, which errs on the safe side. The level of nothing that was
 * heard makes the share unknown, never 0; nothing heard makes it 0.
 *
 * @throws RangeError if a level is no number or hours are negative
 */
export function dose(exposures: readonly Exposure[], scheme: DoseScheme): Dose {
  let [share, known, unknownHours] = [0, 0, 0];
  for (const { laeq, hours } of exposures) {
    if (!(hours >= 0 && Number.isFinite(hours))) throw new RangeError(`Hours are 0 or more, not ${hours}.`);
    if (laeq === null) unknownHours += hours;
    else {
      share += hours / allowedHours(laeq, scheme);
      known += hours;
    }
  }
  return { share: unknownHours > 0 && known === 0 ? null : share, unknownHours };
}

/** The level that would make the same NIOSH day in 8 hours (NIOSH 98-126: TWA = 10 · log10(D) + 85); null for none. */
export function timeWeightedAverage(share: number): number | null {
  return share > 0 ? 10 * Math.log10(share) + niosh.level : null;
}

/**
 * `warn` from half the allowance on, `hold` from all of it on or where more than 85 dBA are planned, whatever the share;
 * `unknown` where neither says anything.
 */
export function judgeDose(
  share: number | null,
  plannedLaeq: number | null = null,
): 'fine' | 'warn' | 'hold' | 'unknown' {
  // Sums of shares end a hair beside what they stand for; on the safe side, it counts as reached.
  const reached = (limit: number) => share !== null && !(share < limit - 1e-9);
  if ((plannedLaeq !== null && !(plannedLaeq <= mostPlannedLaeq)) || reached(doseLimits.hold)) return 'hold';
  if (share === null) return 'unknown';
  return reached(doseLimits.warn) ? 'warn' : 'fine';
}
