import type { PrototypeId } from '../shared/brands';
import { codesLast, type Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import { williamsRow } from '../stats/williams-row';
import { dealtSeat } from './dealt-seat';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';

/**
 * Sittings in which samples come one by one: through all prototypes, and again as many rounds as the plan asks.
 *
 * Each round has Williams orders (Williams 1949, Australian Journal of Scientific Research A 2:149–168): over each whole
 * block of n listeners (2n where n is odd) every sample stands in every place equally often, and follows every other one
 * equally often. The samples are relabelled, and the orders dealt out within the block, anew for each round, so that no
 * round tells what comes in the next; from three samples on none follows itself from one round to the next (with two that
 * would make them take turns, and be known by it). Hidden repeats come after the last round: those that stood in certain
 * places of it, the same for the whole block, so that each sample is repeated, and stands in each later place, equally often.
 *
 * Places in a block are dealt over the whole panel (`dealtSeat`): neighbours would else have orders that mirror each other.
 */
export interface RoundsOf {
  rounds: number;
  /** Order in which scales and words stand on the page. */
  shown: number[];
  /** Whether a sample is heard for practice; else practice is on the page alone. */
  warmUp: boolean;
}

const repeatsOf = (plan: Plan): number => plan.controls.hiddenRepeats ?? 0;

/** Trials of a sitting, without practice. */
export const trialsInRounds = (rounds: number, plan: Plan): number => rounds * plan.prototypes.length + repeatsOf(plan);

/** The next trial of such a sitting, or `done`. */
export function nextInRounds(
  { rounds, shown, warmUp }: RoundsOf,
  plan: Plan,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const samples = plan.prototypes.map(({ id }) => id as PrototypeId);
  const first = (seat.sitting - 1) * rounds;
  const base = { practice: false, shown, replaces: null };
  if (history.length === 0) {
    const at = randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, 'practice');
    const presentations = warmUp ? [samples[at.below(samples.length)] as PrototypeId] : [];
    return { ...base, ordinal: 0, practice: true, presentations, round: first };
  }
  const order = sittingOrder(samples.length, rounds, plan, seat, randomness);
  const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
  const sample = order[planned];
  if (sample !== undefined) {
    // A repeat is heard with the piece with which it was heard last.
    const round = first + Math.min(rounds - 1, Math.floor(planned / samples.length));
    return { ...base, ordinal: planned + 1, presentations: [samples[sample] as PrototypeId], round };
  }
  // Of several spoilt trials first one of another sample than came last, so that none follows itself.
  const last = history.at(-1)?.design.presentations[0];
  const again = putAgain(history, (spoilt) => spoilt.presentations[0] !== last);
  if (!again) return 'done';
  const { presentations, round, ordinal } = again.spoilt;
  return {
    ...base,
    ordinal: again.ordinal,
    presentations,
    replaces: ordinal,
    ...(round === undefined ? {} : { round }),
  };
}

/** Orders that were worked out last from each source: every trial of a sitting asks for the same. */
const lastOrder = new WeakMap<Randomness, { address: string; order: number[] }>();

/** All samples of a sitting, in the order of hearing, as places in the plan's list, from 0. */
function sittingOrder(n: number, rounds: number, plan: Plan, seat: Seat, randomness: Randomness): number[] {
  const address = [n, rounds, repeatsOf(plan), seat.audience, seat.ordinal, seat.sitting].join(' ');
  const known = lastOrder.get(randomness);
  if (known?.address === address) return known.order;
  const order = drawnOrder(n, rounds, plan, seat, randomness);
  lastOrder.set(randomness, { address, order });
  return order;
}

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);

function drawnOrder(n: number, rounds: number, plan: Plan, seat: Seat, randomness: Randomness): number[] {
  const dealt = dealtSeat(plan, seat, randomness);
  const rows = n % 2 === 0 ? n : 2 * n;
  const block = Math.floor((dealt.ordinal - 1) / rows);
  const own = (dealt.ordinal - 1) % rows;
  const at = (...path: (string | number)[]) => randomness.at('sitting', seat.sitting, 'round', block, ...path);
  let orders: number[][] = [];
  let places: number[] = range(rows);
  const heard: number[] = [];
  for (let round = 0; round < rounds; round++) {
    const before = orders;
    const labels = shuffled(range(n), at(round, 'samples'));
    const table = range(rows).map((row) => orderOf(n, row).map((cell) => labels[cell] as number));
    for (let attempt = 0; ; attempt++) {
      places = shuffled(range(rows), at(round, 'orders', attempt));
      orders = places.map((row) => table[row] as number[]);
      const meets = (order: number[], listener: number) => order[0] === before[listener]?.at(-1);
      if (n < 3 || !orders.some(meets)) break;
    }
    heard.push(...(orders[own] as number[]));
  }
  const repeats = repeatsOf(plan);
  if (repeats === 0) return heard;
  const half = Math.floor((places[own] as number) / n);
  const last = orders[own] as number[];
  return [
    ...heard,
    ...placesAgain(n, repeats, (attempt) => at('repeats', half, attempt)).map((p) => last[p] as number),
  ];
}

/** With an odd number the orders come with their mirror images. */
const orderOf = (n: number, row: number): number[] =>
  row < n ? williamsRow(n, row) : [...williamsRow(n, row - n)].reverse();

/** Places of the last round whose samples come again, in the order in which they do; none follows itself. */
function placesAgain(n: number, repeats: number, at: (attempt: number) => Parameters<typeof shuffled>[1]): number[] {
  for (let attempt = 0; ; attempt++) {
    const places = shuffled(range(n), at(attempt));
    if (places[0] !== n - 1) return places.slice(0, repeats);
  }
}

/** What stands against so many rounds and repeats: a second time under the same code, and more repeats than samples. */
export function roundsProblems(rounds: number, plan: Plan): Problem[] {
  const problems: Problem[] = [];
  const repeats = repeatsOf(plan);
  const n = plan.prototypes.length;
  if (rounds > 1 && codesLast(plan)) {
    problems.push({
      code: 'not-hidden',
      path: 'method.spec.rounds',
      message:
        'A second round is blind only under fresh codes: where carriers keep theirs for the day, the listener reads that it is the same sample. Take fresh carriers, or one round and more sessions.',
      allowed: '1, or handling by two people',
      got: String(rounds),
    });
  }
  if (repeats > 0 && codesLast(plan)) {
    problems.push({
      code: 'not-hidden',
      path: 'controls.hiddenRepeats',
      message:
        'A repeat is hidden only under a fresh code: where carriers keep theirs for the day, the listener reads that it is the same sample. Take fresh carriers, or no repeats.',
      allowed: '0, or handling by two people',
      got: String(repeats),
    });
  }
  if (repeats > n) {
    problems.push({
      code: 'too-many',
      path: 'controls.hiddenRepeats',
      message: `${n} prototypes can have at most ${n} hidden repeats in a sitting.`,
      allowed: `0 to ${n}`,
      got: String(repeats),
    });
  }
  return problems;
}
