import { z } from 'zod';

/** What FINDINGS say of answers that were gathered elsewhere and brought in. */
export const importedSchema = z.strictObject({
  /** Name of the file, without folders, and the hash of its bytes. */
  file: z.string(),
  sha256: z.string(),
  /** Rows that hold something, without the headings; and answers, void ones and practice among them. */
  rows: z.int(),
  answers: z.int(),
  /** Whether the file had blinding codes; else they were drawn, and stand for nothing. */
  codes: z.enum(['given', 'some', 'drawn']),
  /** Whether it had the order of hearing, and the times of answers. */
  order: z.enum(['told', 'untold']),
  times: z.enum(['told', 'untold']),
  /** Headings from which nothing was read. */
  ignored: z.array(z.string()),
});
export type ImportedFindings = z.infer<typeof importedSchema>;
