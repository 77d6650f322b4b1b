import type { Form } from '../../protocols/form';
import type { TrialRow } from '../store/tables';

/**
 * Whether the sample that a trial waits for must be told to equal an earlier one. It only goes out when nothing is out
 * at its seat, whatever it is: else a swap would tell that it isn't the sample that just came back.
 */
export const isMatched = (form: Form, trial: Pick<TrialRow, 'presentation'>): boolean =>
  form.kind === 'pick-one' && form.matched === trial.presentation - 1;
