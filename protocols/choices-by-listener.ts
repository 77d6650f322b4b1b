import type { ListenerId } from '../shared/brands';
import type { ListenersOf } from '../shared/findings-listeners';
import type { Plan } from '../shared/plan';
import { consistencyOf } from './pair-consistency';
import type { Outcome } from './protocol';

type Own = Omit<ListenersOf<'preference'>['listeners'][number], 'listener' | 'again' | 'identical' | 'chosen'> & {
  listener: ListenerId;
};

/**
 * How each listener chooses: which place, how often neither, pairs that came again and went alike, and circular triads.
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
  const again = cameAgain(outcomes);
  return consistencyOf(outcomes, plan).map(({ listener, ...steady }) => ({
    listener,
    ...(places.get(listener) ?? { trials: 0, first: 0, second: 0, none: 0 }),
    ...steady,
    ...(again.get(listener) ?? { cameAgain: 0, alikeAgain: 0 }),
  }));
}

/** Each preference beside the one before it for the same pair: by a coin half of them are alike, however often it comes. */
function cameAgain(outcomes: readonly Outcome[]): Map<ListenerId, { cameAgain: number; alikeAgain: number }> {
  const counts = new Map<ListenerId, { cameAgain: number; alikeAgain: number }>();
  const before = new Map<string, number>();
  const inOrder = [...outcomes].sort((a, b) => a.sittingNumber - b.sittingNumber || a.position - b.position);
  for (const { listener, prototypes, value } of inOrder) {
    if (value === 0) continue;
    const [first = '', second = ''] = prototypes as string[];
    const key = `${listener} ${first < second ? `${first} ${second}` : `${second} ${first}`}`;
    const chosen = first < second ? Math.sign(value) : -Math.sign(value);
    const last = before.get(key);
    before.set(key, chosen);
    if (last === undefined) continue;
    const own = counts.get(listener) ?? { cameAgain: 0, alikeAgain: 0 };
    counts.set(listener, own);
    own.cameAgain++;
    if (chosen === last) own.alikeAgain++;
  }
  return counts;
}
