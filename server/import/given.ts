import type { SentGrades } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import type { Plan } from '../../shared/plan';
import type { SentRating } from '../../shared/wire';
import { methodIn } from './asked';
import { gradesIn } from './given-grades';
import { orderIn } from './given-order';
import { pickedIn } from './given-picked';
import { ratingsIn } from './given-ratings';
import type { CodedSamples } from './sample-named';
import type { TrialRows } from './trial-rows';

/** An answer as a phone would have sent it, which is what ledgers hold. */
export type Given = { answer: string } | { ratings: SentRating[] } | SentGrades;

/**
 * What was answered in a trial; null where that can't be told, which its rows say.
 * @param random chooses where a file says whether an answer was right and not which of several it was, so that no place is favoured
 */
export function givenIn(trial: TrialRows, samples: CodedSamples, plan: Plan, random: Random): Given | null {
  const { form } = methodIn(plan);
  switch (form.kind) {
    case 'scales':
      return ratingsIn(trial, plan);
    case 'grades':
      return gradesIn(trial, samples, plan);
    case 'in-order':
      return orderIn(trial, samples, plan);
    default:
      return onceOnly(trial) ? pickedIn(trial.rows[0], samples, plan, random) : null;
  }
}

function onceOnly({ rows }: TrialRows): boolean {
  const [first, ...others] = rows;
  for (const { cells } of others) cells.wrong(null, 'repeated', `This trial has been answered in row ${first.row}.`);
  return others.length === 0;
}
