import type { ListenerId } from '../shared/brands';
import type { ListenersOf } from '../shared/findings-listeners';
import type { Plan } from '../shared/plan';
import { consistencyOf } from './pair-consistency';
import type { Outcome } from './protocol';

type Own = Omit<ListenersOf<'preference'>['listeners'][number], 'listener' | 'again' | 'identical' | 'chosen'> & {
  listener: ListenerId;
};

/**
 * How each listener chooses: which place, how often neither, pairs that were decided again alike, and circular triads.
 * Whether a choice agrees with the others' is left out on purpose: a taste of one's own is no mistake (ISO 11136:2014
 * doesn't screen consumers by agreement; from memory).
 * @param outcomes of one audience, value over 0 where the first sample was chosen, under 0 the second, 0 neither
 * @returns listeners by id
 */
export function choicesByListener(outcomes: readonly Outcome[], plan: Plan): Own[] {
  const places = new Map<ListenerId, { trials: number; first: number; second: number; none: number }>();
  for (const { listener, value } of outcomes) {
    const own = places.get(listener) ?? { trials: 0, first: 0, second: 0, none: 0 };
    places.set(listener, own);
    own.trials++;
    own[value > 0 ? 'first' : value < 0 ? 'second' : 'none']++;
  }
  return consistencyOf(outcomes, plan).map(({ listener, ...steady }) => ({
    listener,
    ...(places.get(listener) ?? { trials: 0, first: 0, second: 0, none: 0 }),
    ...steady,
  }));
}
