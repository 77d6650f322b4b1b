import { z } from 'zod';

/** What FINDINGS hold of measured responses beside what was heard; explores, and decides nothing. */
export const measuredSchema = z.strictObject({ note: z.string() });
export type MeasuredFindings = z.infer<typeof measuredSchema>;
