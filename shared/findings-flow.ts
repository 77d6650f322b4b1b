import { z } from 'zod';

/** What FINDINGS say of who came and what was lost, in one audience. */
export const audienceFlowSchema = z.strictObject({ audience: z.string() });
export type AudienceFlow = z.infer<typeof audienceFlowSchema>;
