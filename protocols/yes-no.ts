import { z } from 'zod';
import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { Form } from './form';
import type { SentAnswer } from './protocol';

/** What same–different and A–not-A have in common: two answers to trials of two kinds, half of each. */

/** Scored trials of a sitting: as many of the one kind as of the other. */
export const evenTrials = z
  .int()
  .min(2)
  .max(40)
  .multipleOf(2, 'an even number, since half of the trials are of each kind');

export const yesNoAnswer = z.strictObject({ yes: z.boolean() });
export type YesNoAnswer = z.infer<typeof yesNoAnswer>;

export function readYesNo(_form: Form, _codes: readonly string[], sent: SentAnswer): YesNoAnswer | null {
  if (!('picked' in sent)) return null;
  if (sent.picked === 'yes') return { yes: true };
  return sent.picked === 'no' ? { yes: false } : null;
}

/** Both methods are about two prototypes. */
export function notTwo(method: string, { prototypes }: Plan): Problem[] {
  if (prototypes.length === 2) return [];
  return [
    {
      code: 'not-two',
      path: 'prototypes',
      message: `${method} compares two prototypes, and this plan has ${prototypes.length}. Keep two of them, or plan a study for each pair.`,
      allowed: 'two prototypes',
      got: String(prototypes.length),
    },
  ];
}
