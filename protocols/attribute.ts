import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { ScoredPlan } from './protocol';

/** Directional methods: one sample should have more of something that is named beforehand. */

/** What it should have more of, in the words that listeners read. */
export const attributeSpec = z.string().trim().min(1).max(40);

/** Which sample should have more: the one that the primary comparison names first, or in a control the known difference. */
export const shouldHaveMore = (
  trial: { control?: string | undefined },
  { primary, controls }: ScoredPlan,
): PrototypeId =>
  (trial.control === 'knownDifference'
    ? (controls.knownDifference?.prototype ?? primary.first)
    : primary.first) as PrototypeId;

/** The two of a control trial, first the one that should have more. */
export const byMore = (
  [one, other]: readonly [PrototypeId, PrototypeId],
  { controls }: ScoredPlan,
): readonly [PrototypeId, PrototypeId] => (other === controls.knownDifference?.prototype ? [other, one] : [one, other]);

/** The place, from 1, of the largest impression. */
export const largest = (impressions: readonly number[]): number => impressions.indexOf(Math.max(...impressions)) + 1;
