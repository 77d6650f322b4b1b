import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';

/**
 * Trials whose order of samples decides what is right: all orders equally often over the panel, to within a few, while
 * right guesses come as the binomial has them, whatever the habits of answering.
 *
 * All orders of a sitting, over all planned listeners of the audience and all their trials, are one list in which each
 * stands equally often, but for three that are drawn by themselves; it is shuffled as a whole and dealt out. Balance over
 * small groups would not do: of two listeners with mirrored orders, one always saying "the first" and one always "the
 * second", both are right at once or both wrong, and a panel with such habits finds too much. Nor would a list that is
 * balanced to the last: who answers exactly as evenly as it is dealt can't be right just once too often, since each order
 * guessed wrong is missing elsewhere, so that counts of rights skip every other number. The three free ones undo that. For
 * 2-AFC at α 5 %, whatever is answered finds a difference in no more than 5.4 % of panels where nobody hears anything, and
 * in no more than 5.1 % from 53 answers on (`node tests/bench/bench.mjs order-habits`).
 *
 * Where each listener answers once in the whole study, as the standards have it, the list is balanced altogether: what
 * people answer whom nobody set beside each other is as good as drawn one by one, and then balance can only narrow the
 * count. (It takes a panel of which by design just half always say "the first" to widen it: of 18 in a 2-AFC, 7.7 % then
 * find what isn't there.) Where the plan has looks, or one listener only, every order is drawn by itself: what came must
 * say nothing of what comes.
 */

type Orders = readonly (readonly PrototypeId[])[];

interface Dealt {
  address: string;
  /** For each listener, the order of each trial. */
  orders: number[][];
}

/** What was dealt last from each source: the trials of a sitting ask for the same again and again. */
const lastDealt = new WeakMap<Randomness, Dealt>();

/** Orders of a sitting that are drawn by themselves. */
const free = 3;

/** Orders for so many listeners with so many trials each. `once`: nobody answers more than once in the study. */
function dealtTo(listeners: number, trials: number, orders: number, once: boolean, random: Random): number[][] {
  const cells = listeners * trials;
  const alone = once ? 0 : Math.min(free, cells);
  const each = Array.from({ length: orders }, (_, i) => i);
  const even = cells - alone;
  // What is left over of whole rounds are different orders.
  const rest = shuffled(each, random).slice(0, even % orders);
  const list = [
    ...Array.from({ length: even - rest.length }, (_, i) => i % orders),
    ...rest,
    ...Array.from({ length: alone }, () => random.below(orders)),
  ];
  const mixed = shuffled(list, random);
  return Array.from({ length: listeners }, (_, i) => mixed.slice(i * trials, (i + 1) * trials));
}

/** The orders of one listener's sitting. */
function ordersOf(orders: number, trials: number, plan: Plan, seat: Seat, randomness: Randomness): number[] {
  const listeners = plan.audiences.find(({ id }) => id === seat.audience)?.listeners ?? 1;
  // Whoever comes beyond those that were planned begins another list.
  const list = Math.floor((seat.ordinal - 1) / listeners);
  const address = `${orders} ${trials} ${listeners} ${seat.audience} ${seat.sitting} ${list}`;
  let dealt = lastDealt.get(randomness);
  if (dealt?.address !== address) {
    const random = randomness.at('sitting', seat.sitting, 'orders', list);
    const once = trials * plan.sessions.count === 1;
    dealt = { address, orders: dealtTo(listeners, trials, orders, once, random) };
    lastDealt.set(randomness, dealt);
  }
  return dealt.orders[(seat.ordinal - 1) % listeners] as number[];
}

/** Nothing that was put tells of what will be. */
const eachByItself = (plan: Plan, seat: Seat): boolean =>
  plan.looks.kind !== 'fixed' || plan.audiences.find(({ id }) => id === seat.audience)?.listeners === 1;

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
  plan: Plan,
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
    if (eachByItself(plan, seat))
      return design(history.length, anyOrder(orders, own.at('order', history.length)), null);
    const mine = ordersOf(orders.length, trials, plan, seat, randomness)[history.length - 1] as number;
    return design(history.length, [...(orders[mine] as readonly PrototypeId[])], null);
  }
  // Drawn anew altogether: whoever remembers the spoilt trial knows nothing of this one.
  const again = putAgain(history);
  if (!again) return 'done';
  return design(again.ordinal, anyOrder(orders, own.at('again', again.ordinal)), again.spoilt.ordinal);
}
