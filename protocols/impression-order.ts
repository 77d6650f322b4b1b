import { williamsRow } from '../stats/williams-row';
import { type Random, type Randomness, shuffled } from './random';

/** Which listener, counted from 1, in which of his or her own sittings, counted from 1. */
export interface OrderPlace {
  ordinal: number;
  sitting: number;
}

/**
 * The order in which a listener hears n samples in one sitting, each once, and after them `repeats` of them once more.
 *
 * Williams orders (Williams 1949, Australian Journal of Scientific Research A 2:149–168): over each whole block of n
 * listeners (2n where n is odd) every sample stands in every place equally often and follows every other one equally
 * often. The listeners of a block share a relabelling, drawn anew for each sitting and never that of the sitting
 * before, so that everybody hears another order than last time.
 *
 * Repeats take the samples that stood in certain places of the first round, places that n listeners share: every sample
 * is repeated, and stands in each later place, equally often over them. No sample follows itself.
 * @param n samples, from 1
 * @param repeats 0 to n; 0 where n is 1
 * @param randomness of the audience: all sittings of all its listeners draw from it, each from its own address
 * @returns places in the list of samples, from 0
 */
export function impressionOrder(
  n: number,
  repeats: number,
  { ordinal, sitting }: OrderPlace,
  randomness: Randomness,
): number[] {
  const rows = n % 2 === 0 ? n : 2 * n;
  const block = Math.floor((ordinal - 1) / rows);
  const row = (ordinal - 1) % rows;
  const half = Math.floor(row / n);
  const labels = relabelling(n, sitting, (number, attempt) =>
    randomness.at('sitting', number, 'order', block, attempt),
  );
  // With an odd number the orders come with their mirror images.
  const cells = half === 0 ? williamsRow(n, row) : williamsRow(n, row - n).reverse();
  const order = cells.map((cell) => labels[cell] as number);
  const again = repeats === 0 ? [] : placesAgain(n, repeats, randomness.at('sitting', sitting, 'repeats', block, half));
  return [...order, ...again.map((place) => order[place] as number)];
}

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);

/** Which sample plays which part in a sitting; drawn again while it is that of the sitting before. */
function relabelling(n: number, sitting: number, at: (sitting: number, attempt: number) => Random): number[] {
  let before: number[] = [];
  for (let number = 1; number <= sitting; number++) {
    let drawn = shuffled(range(n), at(number, 0));
    for (let attempt = 1; n > 1 && drawn.join() === before.join(); attempt++) {
      drawn = shuffled(range(n), at(number, attempt));
    }
    before = drawn;
  }
  return before;
}

/** Places of the first round whose samples come again, in the order in which they do. */
function placesAgain(n: number, repeats: number, random: Random): number[] {
  if (n < 2) throw new Error('A single sample can’t come again without following itself.');
  for (;;) {
    const places = shuffled(range(n), random);
    if (places[0] !== n - 1) return places.slice(0, repeats);
  }
}
