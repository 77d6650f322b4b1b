import { overListeners } from '../../../protocols/over-listeners';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { signFlip } from '../../../stats/sign-flip';
import { byListener, count } from './by-listener';

/** How often the sample that everybody should tell was chosen, and how often the other. */
export function choicesOfKnown(
  outcomes: readonly Outcome[],
  { controls }: Pick<Plan, 'controls'>,
  label: (listener: string) => string,
): ControlOf<'choice'> {
  const known = controls.knownDifference?.prototype;
  const forKnown = ({ prototypes: [first], value }: Outcome) => (first === known ? value : -value);
  const counts = (own: readonly Outcome[]) => ({
    known: count(own, (one) => forKnown(one) > 0),
    other: count(own, (one) => forKnown(one) < 0),
    none: count(own, ({ value }) => value === 0),
  });
  return {
    kind: 'knownDifference',
    measure: 'choice',
    trials: outcomes.length,
    ...counts(outcomes),
    listeners: byListener(outcomes, label).map(({ listener, own }) => ({ listener, ...counts(own) })),
  };
}

/** Which of two that are one sample was chosen, by place: a habit, since there is nothing to prefer. */
export function placesOf(outcomes: readonly Outcome[], label: (listener: string) => string): ControlOf<'place'> {
  const counts = (own: readonly Outcome[]) => ({
    first: count(own, ({ value }) => value > 0),
    second: count(own, ({ value }) => value < 0),
    none: count(own, ({ value }) => value === 0),
  });
  const listeners = byListener(outcomes, label).map(({ listener, own }) => ({ listener, ...counts(own) }));
  return {
    kind: 'identicalPairs',
    measure: 'place',
    trials: outcomes.length,
    ...counts(outcomes),
    p: leaning(
      listeners.map(({ first, second }) => first - second),
      'identical pairs',
    ),
    listeners,
  };
}

/** How two that are one sample were compared, the second beside the first: a habit, since there is nothing to hear. */
export function secondBeside(
  outcomes: readonly Outcome[],
  plan: Pick<Plan, 'risks'>,
  label: (listener: string) => string,
): ControlOf<'second'> {
  const listeners = byListener(outcomes, label).map(({ listener, own }) => ({
    listener,
    mean: own.reduce((sum, { value }) => sum + value, 0) / own.length,
    trials: own.length,
  }));
  const { estimate, p } = overListeners(
    'second',
    listeners.map(({ mean }) => mean),
    1 - plan.risks.alpha,
  );
  return { kind: 'identicalPairs', measure: 'second', trials: outcomes.length, mean: estimate, p, listeners };
}

/** Whether a panel leans one way, each listener counting once; null where nobody chose at all. */
export function leaning(nets: readonly number[], seed: string): number | null {
  return nets.some((net) => net !== 0) ? signFlip({ perListener: nets, seed }).p : nets.length > 0 ? 1 : null;
}
