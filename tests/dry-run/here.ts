import { chunksOf, playChunk } from '../../server/dry-run/chunk';
import type { DrawnPanel } from '../../server/dry-run/drawn-panel';
import { type DryRunAsked, findingsOf, orderOf } from '../../server/dry-run/dry-run';
import { add, emptyTallies } from '../../server/dry-run/tally';
import type { DryRun } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';

/** A dry run in this very thread. */
export function dryRunHere(
  asked: DryRunAsked,
  panelOf?: (plan: Plan, seed: number, ordinal: number) => DrawnPanel,
): DryRun {
  const order = orderOf(asked);
  const sum = emptyTallies(order.plan);
  for (let chunk = 0; chunk < chunksOf(order); chunk++) add(sum, playChunk(order, chunk, panelOf));
  return findingsOf(order, sum, 0);
}
