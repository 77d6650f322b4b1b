import { methodOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { binomialTest } from '../../../stats/binomial-test';
import { byListener, count } from './by-listener';

/**
 * Right answers in control trials, against guessing where guessing has a chance of its own: every trial is drawn by
 * itself, so that whoever hears nothing guesses each anew. Where yes and no are asked, right is what the samples were.
 */
export function rightsOf(
  kind: 'knownDifference' | 'units',
  outcomes: readonly Outcome[],
  plan: Plan,
  label: (listener: string) => string,
): ControlOf<'right'> {
  const { protocol, form } = methodOf(plan);
  const { chance } = protocol;
  // One sample that is none of those that were learnt: no is the right answer. Two that differ: yes.
  const wanted = form.kind === 'yes-no' && form.presentations === 1 ? 0 : 1;
  const isRight = ({ value }: Outcome) => value === wanted;
  const [trials, right] = [outcomes.length, count(outcomes, isRight)];
  return {
    kind,
    measure: 'right',
    trials,
    right,
    chance,
    p: chance === null || trials === 0 ? null : binomialTest({ correct: right, trials, chance }).p,
    listeners: byListener(outcomes, label).map(({ listener, own }) => ({
      listener,
      right: count(own, isRight),
      trials: own.length,
    })),
  };
}
