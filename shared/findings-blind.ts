import { z } from 'zod';
import { roles } from './roles';

/** What FINDINGS say of how blind a study was, and of who could have known what. */
export const blindSchema = z.strictObject({
  handling: z.string(),
  label: z.string(),
  singleBlind: z.boolean(),
  notes: z.array(z.string()),
  /** Who had each role: given to them by the designer, and who did its work. None given: it was open to all. */
  roles: z.array(z.strictObject({ role: z.enum(roles), given: z.array(z.string()), did: z.array(z.string()) })),
  /** Every look at the key up to the unsealing, and every try at one, in order of time. */
  keyEvents: z.array(
    z.strictObject({
      at: z.string(),
      who: z.string(),
      what: z.enum(['sheet-opened', 'code-revealed', 'passphrase-refused', 'key-put-back', 'unsealed']),
      /** "session 2", "code 417, session 2", "at the sheet"; empty where there is one place only. */
      where: z.string(),
      /** As the handling asks for: by the preparer, who had not run the desk, or the unsealing itself. */
      planned: z.boolean(),
      /** How often, for what is counted and not listed: wrong passphrases by one person at one place. */
      times: z.int().min(1),
    }),
  ),
});
