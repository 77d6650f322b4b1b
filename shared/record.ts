import { z } from 'zod';

/** One entry of the ledger. `hash` is SHA-256 of the previous hash and of the rest of this entry. */
export const ledgerEntrySchema = z.strictObject({
  seq: z.int().min(1),
  at: z.iso.datetime(),
  actor: z.string().max(200),
  kind: z.string().max(60),
  body: z.record(z.string(), z.unknown()),
  previous: z.string().regex(/^[0-9a-f]{64}$/),
  hash: z.string().regex(/^[0-9a-f]{64}$/),
});
export type LedgerEntry = z.infer<typeof ledgerEntrySchema>;

/** A whole study to take away: everything else is derived from its ledger. */
export const recordSchema = z.strictObject({
  format: z.literal('fair-hearing/record'),
  version: z.literal(1),
  tool: z.strictObject({ name: z.string().max(60), version: z.string().max(40) }),
  ledger: z.array(ledgerEntrySchema).min(1),
  keys: z.strictObject({ public: z.string().max(400).nullable() }),
  signatures: z.array(z.unknown()),
  audio: z.array(z.strictObject({ sha256: z.string(), name: z.string() })),
});
export type StudyRecord = z.infer<typeof recordSchema>;
