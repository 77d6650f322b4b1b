import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);

/**
 * The next trial of a sitting in which each puts the open reference, and then it again and one other sample in either
 * order; or `done`. Each round has all others once, in an order that is drawn, and all with one excerpt.
 *
 * The hidden reference comes first in half of a listener's trials, to within one, and over an even number of rounds in
 * half of those with each sample, so that a habit of grading the first one lower cancels in each listener. With an odd
 * number one trial with each sample is over. Which way round those are is drawn for each listener alone, and not balanced
 * over the panel: two halves of a balanced panel with opposed habits are right together or wrong together, and find too
 * often what nobody hears. Drawn alone they can't, whatever the habits.
 */
export function nextAgainstReference(
  { reference, rounds }: { reference: string; rounds: number },
  plan: Plan,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const open = reference as PrototypeId;
  const others = plan.prototypes.map(({ id }) => id as PrototypeId).filter((id) => id !== open);
  const at = (...path: (string | number)[]) =>
    randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path);
  const trial = (
    ordinal: number,
    [other, first]: readonly [PrototypeId, boolean],
    round: number | undefined,
    replaces: number | null = null,
  ): TrialDesign => ({
    ordinal,
    practice: ordinal === 0,
    presentations: first ? [open, open, other] : [open, other, open],
    shown: [0],
    replaces,
    ...(round === undefined ? {} : { round }),
  });
  const before = (seat.sitting - 1) * rounds;
  if (history.length === 0) {
    const random = at('practice');
    const other = others[random.below(others.length)] as PrototypeId;
    return trial(0, [other, random.below(2) === 0], before);
  }
  const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
  if (planned < rounds * others.length) {
    const round = Math.floor(planned / others.length);
    const order = shuffled(range(others.length), at('round', round));
    const other = order[planned % others.length] as number;
    const first = leads(other, round, others.length, rounds, at);
    return trial(planned + 1, [others[other] as PrototypeId, first], before + round);
  }
  // Which comes first is drawn anew: the same way round, whoever remembers the spoilt trial would know what was what.
  const again = putAgain(history);
  if (!again) return 'done';
  const { presentations, ordinal, round } = again.spoilt;
  const other = presentations.find((id) => id !== open) as PrototypeId;
  return trial(again.ordinal, [other, at('again', again.ordinal).below(2) === 0], round, ordinal);
}

/** Whether the hidden reference comes before that sample in that round. */
function leads(
  other: number,
  round: number,
  others: number,
  rounds: number,
  at: (...path: (string | number)[]) => Random,
): boolean {
  const odd = rounds % 2 === 1 ? at('odd', other).below(rounds) : null;
  if (round === odd) {
    const mixed = shuffled(range(others), at('leads'));
    // Of an odd number of samples one more or one less than half.
    const half = Math.floor((others + at('half').below(2)) / 2);
    return mixed.indexOf(other) < half;
  }
  const left = range(rounds).filter((one) => one !== odd);
  return shuffled(left, at('leads', other)).indexOf(round) < left.length / 2;
}
