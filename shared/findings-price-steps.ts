import { z } from 'zod';

/** What FINDINGS say of each step from one price class to the next, in one audience. */
export const priceStepsSchema = z.strictObject({ audience: z.string() });
export type PriceStepsFindings = z.infer<typeof priceStepsSchema>;
