import { williamsRow } from '../stats/williams-row';
import { type Randomness, shuffled } from './random';

/**
 * The order in which the listener of that ordinal (from 1) hears n samples in one sitting, each once, and after them
 * `repeats` of them once more.
 *
 * Williams orders: over a whole block of listeners each sample stands in each place equally often and follows each
 * other one equally often (Williams 1949, Aust. J. Sci. Res. A 2:149–168). The listeners of a block share a
 * relabelling, so each allocation depends on its own address only. Which samples are repeated goes round over
 * listeners; none follows itself but where there is no other.
 * @returns places in the list of samples, from 0
 */
export function impressionOrder(n: number, repeats: number, ordinal: number, randomness: Randomness): number[] {
  const rows = n % 2 === 0 ? n : 2 * n;
  const listener = ordinal - 1;
  const block = Math.floor(listener / rows);
  const labels = shuffled(
    Array.from({ length: n }, (_, i) => i),
    randomness.at('order', block),
  );
  const row = listener % rows;
  // With an odd number the orders come with their mirror images.
  const cells = row < n ? williamsRow(n, row) : williamsRow(n, row - n).reverse();
  const order = cells.map((cell) => labels[cell] as number);
  if (repeats === 0) return order;
  const last = order.at(-1) as number;
  const round = shuffled(
    Array.from({ length: n }, (_, i) => i),
    randomness.at('repeats', block),
  );
  const from = row * repeats;
  const chosen: number[] = [];
  for (let step = 0; chosen.length < repeats && step < 2 * n; step++) {
    const sample = round[(from + step) % n] as number;
    // A single repeat of the sample that came last would follow itself.
    if (chosen.includes(sample) || (repeats === 1 && n > 1 && sample === last)) continue;
    chosen.push(sample);
  }
  const again = shuffled(chosen, randomness.at('again', listener));
  const swap = again.findIndex((sample) => sample !== last);
  if (again[0] === last && swap > 0) [again[0], again[swap]] = [again[swap] as number, last];
  return [...order, ...again];
}
