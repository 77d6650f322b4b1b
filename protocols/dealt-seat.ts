import type { Plan } from '../shared/plan';
import type { Seat } from './protocol';
import { type Randomness, shuffled } from './random';

/**
 * The seat whose orders a listener gets: the planned places of an audience, shuffled anew for each sitting. Listeners who
 * sit down one after the other would else get orders that mirror each other; where their habits do, too (one puts the first
 * sample on top, the next one the last), they would agree without hearing anything. Whoever comes beyond those that were
 * planned is shuffled among as many more.
 */
export function dealtSeat(plan: Pick<Plan, 'audiences'>, seat: Seat, randomness: Randomness): Seat {
  const listeners = plan.audiences.find(({ id }) => id === seat.audience)?.listeners ?? 1;
  const list = Math.floor((seat.ordinal - 1) / listeners);
  const places = shuffled(
    Array.from({ length: listeners }, (_, i) => i),
    randomness.at('sitting', seat.sitting, 'seats', list),
  );
  const place = places[(seat.ordinal - 1) % listeners] as number;
  return { ...seat, ordinal: list * listeners + place + 1 };
}
