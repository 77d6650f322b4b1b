/**
 * The one table of what levels may differ by, for locking and for opening alike, in dB. A few tenths are heard as better
 * and not as louder, so a tolerance lies well below what is noticed as a difference of level: 0.1 to 0.25 dB is common
 * practice where near-identical gear is compared.
 */
export const levelTolerances = {
  /** Files, whose level is computed. */
  file: { passes: 0.1, warns: 0.5 },
  /** Units, whose level is measured in a coupler and varies with how they sit in it. */
  coupler: { passes: 0.2, warns: 0.5 },
} as const;

export type LevelKind = keyof typeof levelTolerances;

/** `passes`; `warns`: goes on and is reported; `beyond`: only by a signed deviation. */
export type LevelJudgement = 'passes' | 'warns' | 'beyond';

/** Differences that are sums and roundings of decimal fractions end a hair beside them. */
const hair = 1e-9;

/**
 * How a difference of level between what is compared is to be taken.
 *
 * @param differenceDb loudest less quietest; the sign doesn't count, and what is no number is beyond
 */
export function judgeLevel(kind: LevelKind, differenceDb: number): LevelJudgement {
  const { passes, warns } = levelTolerances[kind];
  const difference = Math.abs(differenceDb);
  if (difference <= passes + hair) return 'passes';
  return difference <= warns + hair ? 'warns' : 'beyond';
}

/** A measurement of a unit's level, as far as its age goes. */
export interface MeasurementAge {
  /** When it was taken; null where there is none. */
  measuredAt: Date | null;
  now: Date;
  /** From the plan: older than so many days is stale. */
  staleDays: number;
  /** When the unit was last worked on. */
  reworkedAt?: Date | null;
}

const dayMs = 24 * 60 * 60 * 1000;

/**
 * Whether a measurement still stands for the unit. Stale: older than the plan allows, not later than the last rework (of
 * two with the same time nobody knows which came first), or dated more than a day ahead, which no time zone explains. A
 * stale or missing one blocks like a difference that is beyond.
 */
export function judgeMeasurement({
  measuredAt,
  now,
  staleDays,
  reworkedAt,
}: MeasurementAge): 'fresh' | 'stale' | 'missing' {
  const measured = measuredAt?.getTime();
  if (measured === undefined || Number.isNaN(measured)) return 'missing';
  const age = now.getTime() - measured;
  if (!(age <= staleDays * dayMs) || age < -dayMs) return 'stale';
  return reworkedAt && !(measured > reworkedAt.getTime()) ? 'stale' : 'fresh';
}
