import type { PrototypeId } from '../shared/brands';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';

/**
 * Trials whose order of samples decides what is right: all orders equally often over listeners, and drawn independently
 * over the trials of one listener.
 *
 * As many listeners as there are orders are a block. At each trial they share a shuffled list of the orders, each taking
 * the one at their own place of it, so that after a block every order was put equally often at each trial of a sitting.
 * What one listener gets in one trial says nothing of what comes in the next: each trial is an independent guess for
 * whoever hears nothing, whatever the habit of answering. Balance within one listener would not do: whoever spreads
 * their answers evenly would be right about as often in each sitting, and whoever doesn't more unevenly than by chance.
 *
 * Between listeners of a block the balance ties right guesses together a little: where habits are alike, the count of
 * right answers is spread less than the binomial has it; where two of a block always answer otherwise, more. Since places
 * in a block go by the order of joining, which knows nothing of habits, the spread (as a variance) is at most 1 in
 * (listeners − 1) larger, and that only where all answer by fixed habits, each as often as any other.
 */

type Orders = readonly (readonly PrototypeId[])[];

interface Block {
  address: string;
  /** For each trial of a sitting, which order each listener of the block gets. */
  dealt: number[][];
}

/** The block that was drawn last from each source: the trials of a sitting ask for the same again and again. */
const lastDrawn = new WeakMap<Randomness, Block>();

function dealt(orders: number, trials: number, sitting: number, block: number, randomness: Randomness): number[][] {
  const address = `${orders} ${trials} ${sitting} ${block}`;
  const last = lastDrawn.get(randomness);
  if (last?.address === address) return last.dealt;
  const random = randomness.at('sitting', sitting, 'orders', block);
  const each = Array.from({ length: orders }, (_, i) => i);
  const drawn = Array.from({ length: trials }, () => shuffled(each, random));
  lastDrawn.set(randomness, { address, dealt: drawn });
  return drawn;
}

const ownAddress = (seat: Seat, randomness: Randomness): Randomness => ({
  at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
});

/** One of the orders, each equally likely. */
export const anyOrder = (orders: Orders, random: Random): PrototypeId[] => [
  ...(orders[random.below(orders.length)] as readonly PrototypeId[]),
];

/** Answers stand in the order of hearing: they name places, and a list of places in any other order would only confuse. */
export const asHeard = (answers: number): number[] => Array.from({ length: answers }, (_, i) => i);

/**
 * The next trial of a sitting in which every trial is one of those orders, or `done`.
 * @param answers how many stand on the page
 */
export function nextInOrders(
  orders: Orders,
  answers: number,
  trials: number,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const design = (ordinal: number, presentations: PrototypeId[], replaces: number | null): TrialDesign => ({
    ordinal,
    practice: ordinal === 0,
    presentations,
    shown: asHeard(answers),
    replaces,
  });
  const own = ownAddress(seat, randomness);
  if (history.length === 0) return design(0, anyOrder(orders, own.at('practice')), null);
  if (history.length <= trials) {
    const block = Math.floor((seat.ordinal - 1) / orders.length);
    const place = (seat.ordinal - 1) % orders.length;
    const mine = dealt(orders.length, trials, seat.sitting, block, randomness)[history.length - 1]?.[place] as number;
    return design(history.length, [...(orders[mine] as readonly PrototypeId[])], null);
  }
  // Drawn anew altogether: whoever remembers the spoilt trial knows nothing of this one.
  const again = putAgain(history);
  if (!again) return 'done';
  return design(again.ordinal, anyOrder(orders, own.at('again', again.ordinal)), again.spoilt.ordinal);
}
