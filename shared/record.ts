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

const hex = (bytes: number) => z.string().regex(new RegExp(`^[0-9a-f]{${2 * bytes}}$`));

/** An Ed25519 signature (RFC 8032) over one entry: which, its hash, the public key, and the signature itself. */
export const signatureSchema = z.strictObject({ seq: z.int().min(1), hash: hex(32), key: hex(32), signature: hex(64) });
export type Signature = z.infer<typeof signatureSchema>;

/** A whole study to take away: everything else is derived from its ledger. */
export const recordSchema = z.strictObject({
  format: z.literal('fair-hearing/record'),
  version: z.literal(1),
  tool: z.strictObject({ name: z.string().max(60), version: z.string().max(40) }),
  ledger: z.array(ledgerEntrySchema).min(1),
  /** The key that the study was locked with, as its entry names it; null for one locked before there were signatures. */
  keys: z.strictObject({ public: hex(32).nullable() }),
  signatures: z.array(signatureSchema),
  audio: z.array(z.strictObject({ sha256: z.string(), name: z.string() })),
  /** SHA-256 of the canonical JSON of all above: what changed by accident outside the ledger shows as well. */
  sha256: hex(32).optional(),
});
export type StudyRecord = z.infer<typeof recordSchema>;
