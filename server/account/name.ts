import { z } from 'zod';

export const nameLength = { min: 1, max: 60 } as const;

/** A name as it stands in the record: trimmed, inner spaces single. */
export const nameSchema = z
  .string()
  .transform((name) => name.normalize('NFC').replace(/\s+/gu, ' ').trim())
  .superRefine((name, context) => {
    const length = [...name].length;
    if (length < nameLength.min) {
      context.addIssue({ code: 'too_small', origin: 'string', minimum: nameLength.min, inclusive: true, input: name });
    } else if (length > nameLength.max) {
      context.addIssue({ code: 'too_big', origin: 'string', maximum: nameLength.max, inclusive: true, input: name });
    } else if (/\p{C}/u.test(name) || !/[\p{L}\p{N}]/u.test(name)) {
      // Signs that can't be seen would let two people look like one in a signature.
      context.addIssue({
        code: 'custom',
        message: 'Name must have a letter or digit, and no signs that can’t be seen.',
        input: name,
      });
    }
  });

/** Names that differ only in case, width or spacing are the same person's. */
export function nameKey(name: string): string {
  return name.normalize('NFKC').replace(/\s+/gu, ' ').trim().toLowerCase();
}
