import type { ListeningLevel } from '../../shared/listening-level';
import { allowedHours, mostPlannedLaeq } from '../audio/dose';
import { decimals } from '../number-words';
import type { EstimatePart } from './view-models';

const partWords: Record<string, string> = {
  sensitivity: 'Sensitivity at 1 V',
  voltage: 'Voltage of the device',
  volume: 'Volume',
  programme: 'Programme',
  'output-impedance': 'Output impedance',
  spectrum: 'Other frequencies than the stated one',
  fit: 'Fit in the ear',
  'diffuse-field': 'Diffuse field',
  reading: 'Reading',
};

/** However little, some of it is taken. */
export const sharePercent = (share: number | null): string => {
  if (share === null) return 'unknown';
  return share < 0.001 ? 'under 0.1\u00a0%' : `${decimals(share * 100, share < 0.0995 ? 1 : 0)}\u00a0%`;
};

const judgedWords = {
  fine: 'Within what is allowed.',
  warn: 'Half of what is allowed, or more: make sittings shorter, fewer or quieter.',
  hold: `Held: above ${mostPlannedLaeq}\u00a0dBA, or all that is allowed. Locking and opening want a reason that is signed.`,
  unknown: 'Unknown, which is not the same as little. Something below is missing.',
} as const;

export function estimatePart(level: ListeningLevel, at: string): EstimatePart {
  const { estimate, planned, sensitive } = level;
  const hours = (scheme: Parameters<typeof allowedHours>[1]) =>
    estimate === null ? null : allowedWords(allowedHours(estimate.laeq, scheme), scheme === 'day' ? 'day' : 'week');
  return {
    at,
    level: estimate && `${decimals(estimate.laeq, 0)}\u00a0dBA`,
    range:
      estimate &&
      `${decimals(estimate.laeq - estimate.uncertaintyDb, 0)} to ${decimals(estimate.laeq + estimate.uncertaintyDb, 0)}\u00a0dBA`,
    corrected: estimate === null || estimate.diffuseFieldSource !== null,
    parts: (estimate?.parts ?? []).map(({ what, db, halfWidthDb, halfWidthBasis }) => ({
      what: partWords[what] ?? what,
      db: db === 0 ? '0' : decimals(db, 1),
      within: `±${halfWidthDb}`,
      basis: halfWidthBasis === 'given' ? 'given' : 'from memory',
    })),
    rows: [
      {
        label: `A week, ${planned.sittingsPerWeek} ${planned.sittingsPerWeek === 1 ? 'sitting' : 'sittings'} of ${planned.minutes} min`,
        share: sharePercent(planned.week),
        allowed: hours(sensitive ? 'week-sensitive' : 'week'),
        by: sensitive ? 'WHO and ITU-T H.870, sensitive ears' : 'WHO and ITU-T H.870',
      },
      {
        label: `A day, ${planned.sittingsPerDay} ${planned.sittingsPerDay === 1 ? 'sitting' : 'sittings'}`,
        share: sharePercent(planned.day),
        allowed: hours('day'),
        by: 'NIOSH 98-126',
      },
    ],
    judged: planned.judged,
    judgedWords: judgedWords[planned.judged],
  };
}

const hoursIn = { day: 24, week: 7 * 24 } as const;

/** Not finer than an estimate is, and never more hours than there are. */
export function allowedWords(hours: number, span: keyof typeof hoursIn): string {
  if (hours >= hoursIn[span]) return `all ${span}`;
  if (hours >= 2) return `${decimals(hours, 0)}\u00a0h`;
  return hours < 1 / 60 ? 'under a minute' : `${Math.floor(hours * 60)}\u00a0min`;
}
