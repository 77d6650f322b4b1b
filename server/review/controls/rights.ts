import { methodOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { binomialTest } from '../../../stats/binomial-test';
import { stratifiedUpper } from '../../../stats/stratified-yes';
import { byListener, count } from './by-listener';

/**
 * Right answers in control trials, and how likely so many are by guessing. Where guessing has a chance of its own, by the
 * exact binomial: every trial is drawn by itself, so that whoever hears nothing guesses each anew. Where yes and no are
 * asked, by the method's own exact test within sittings, against the trials of the sitting in which the other answer is
 * right: places of controls are drawn, too.
 * @param kept every scored answer that isn't left out, controls among the others
 */
export function rightsOf(
  kind: 'knownDifference' | 'units',
  kept: readonly Outcome[],
  plan: Plan,
  label: (listener: string) => string,
): ControlOf<'right'> {
  const { protocol, form } = methodOf(plan);
  const { chance } = protocol;
  const outcomes = kept.filter(({ control }) => control === kind);
  // One sample that is not the one that was learnt: no is the right answer. Two that differ: yes.
  const wanted = form.kind === 'yes-no' && form.presentations === 1 ? 0 : 1;
  const isRight = ({ value }: Outcome) => value === wanted;
  const [trials, right] = [outcomes.length, count(outcomes, isRight)];
  const guessed = () =>
    chance === null ? againstOthers(outcomes, kept, isRight, plan) : binomialTest({ correct: right, trials, chance }).p;
  return {
    kind,
    measure: 'right',
    trials,
    right,
    chance,
    p: trials === 0 ? null : guessed(),
    listeners: byListener(outcomes, label).map(({ listener, own }) => ({
      listener,
      right: count(own, isRight),
      trials: own.length,
    })),
  };
}

/** Whether the answer is given oftener than in trials of the same sitting where it is the wrong one. */
function againstOthers(
  controls: readonly Outcome[],
  kept: readonly Outcome[],
  isRight: (outcome: Outcome) => boolean,
  plan: Plan,
): number {
  const wrongIn = ({ control, prototypes: [first, second] }: Outcome) =>
    control === undefined && (second === undefined ? first === plan.primary.first : first === second);
  const others = kept.filter(wrongIn);
  const sittings = [...new Set(controls.map(({ sitting }) => sitting))];
  return stratifiedUpper(
    sittings.map((sitting) => {
      const [first, second] = [controls, others].map((all) => all.filter((one) => one.sitting === sitting)) as [
        Outcome[],
        Outcome[],
      ];
      return {
        hits: count(first, isRight),
        signalTrials: first.length,
        falseAlarms: count(second, isRight),
        noiseTrials: second.length,
      };
    }),
  );
}
