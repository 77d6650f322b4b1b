import { codesTell, type Form, mayRepeat } from '../../protocols/form';
import { codesLast } from '../../shared/plan';
import type { BlindPlan } from '../blind-plan';

/**
 * Whether a listener may see the code of the sample at that place of a trial, from 0. Where carriers keep their codes for
 * the day, a sample that may be an earlier one once more would be known by its code; and where an answer names the
 * sample itself, none of its codes is shown at all. Then samples are counted, and the desk keeps the code out of sight.
 */
export const codeShown = (form: Form, place: number, plan: Pick<BlindPlan, 'handling'>): boolean =>
  !codesLast(plan) || !(codesTell(form) || mayRepeat(form, place));
