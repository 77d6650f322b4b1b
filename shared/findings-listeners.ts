import { z } from 'zod';

/** What FINDINGS say of each listener of one audience: what they tell apart, repeat, and agree on. */
export const listenersSchema = z.strictObject({ audience: z.string() });
export type ListenersFindings = z.infer<typeof listenersSchema>;
