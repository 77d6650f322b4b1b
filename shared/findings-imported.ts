import { z } from 'zod';

/** What FINDINGS say of answers that were gathered elsewhere and brought in. */
export const importedSchema = z.strictObject({ sha256: z.string(), rows: z.int() });
export type ImportedFindings = z.infer<typeof importedSchema>;
