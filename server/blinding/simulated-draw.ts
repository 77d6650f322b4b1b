import { createHash } from 'node:crypto';
import type { Seat } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import { canonicalJson } from './canonical-json';
import { type DrawnSamples, drawSamples } from './draw';

export type SimulatedSamples = DrawnSamples;

/**
 * What a simulated listener hears in a sitting: by the generator and the addresses of a real study, from a seed that is
 * made of two numbers which anybody may know. So nothing of a study's own draw can be had by it.
 * @param ordinal of the panel among those of one dry run
 */
export function simulatedSitting(plan: Plan, seed: number, ordinal: number, seat: Seat): SimulatedSamples[] {
  const known = createHash('sha256')
    .update(canonicalJson(['dry-run', seed, ordinal]))
    .digest();
  return drawSamples({ seed: known, planVersion: 1, plan }, seat);
}
