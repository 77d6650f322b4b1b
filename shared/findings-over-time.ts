import { z } from 'zod';

/** What FINDINGS say of what time and habit did to the answer that the verdict is about, in one audience. */
export const overTimeSchema = z.strictObject({ audience: z.string() });
export type OverTimeFindings = z.infer<typeof overTimeSchema>;
