import { analysePairedPreference } from '../../protocols/paired-preference-analysis';
import type { AudienceResult } from '../../protocols/protocol';
import { findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { said } from '../protocols/simulated-study';
import { randomStudy, type Wish } from './random-study';

/** The result of a panel of which so many said each line. */
export function resultOf(plan: Plan, ...lines: [count: number, line: string][]): AudienceResult {
  const outcomes = lines.flatMap(([count, line], i) =>
    Array.from({ length: count }, (_, n) => said(`L${i}-${n}`, line)).flat(),
  );
  return analysePairedPreference(outcomes, plan, { resamples: 100 }).results[0] as AudienceResult;
}

export const findingsOfRandom = (plan: Plan, wish: Wish): Findings =>
  findingsOf(randomStudy(plan, wish).record, { resamples: 100 });
