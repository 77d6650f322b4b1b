import { z } from 'zod';
import { nameSchema } from './name';
import { passwordSchema } from './password';

/** What the fields of these pages are called. */
export const accountLabels = {
  code: 'Code from the terminal',
  name: 'Name',
  password: 'Password',
  next: 'Next page',
} as const;

export const firstForm = z.strictObject({
  code: z.string().trim().min(1).max(60),
  name: nameSchema,
  password: passwordSchema,
});
export const invitedForm = z.strictObject({ name: nameSchema, password: passwordSchema });
export const resetForm = z.strictObject({ password: passwordSchema });
/** Whether name and password could be anybody's is not checked here: that would tell what accounts look like. */
export const signInForm = z.strictObject({
  name: z.string().trim().min(1),
  password: z.string().min(1),
  next: z.string().optional(),
});
