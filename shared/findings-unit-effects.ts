import { z } from 'zod';

/** What FINDINGS say of the units of prototypes, in one audience: each unit's figures, and units' share of the variance. */
export const unitEffectsSchema = z.strictObject({ audience: z.string() });
export type UnitEffectsFindings = z.infer<typeof unitEffectsSchema>;
