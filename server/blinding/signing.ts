import { createPrivateKey, createPublicKey, sign as nodeSign, verify as nodeVerify, randomBytes } from 'node:crypto';
import type { StudyId } from '../../shared/brands';
import type { LedgerEntry, Signature } from '../../shared/record';
import type { Db } from '../store/open';
import { insertSignature, readSignatures } from '../store/signatures';
import { type NewEntry, record, recordAll } from './ledger';
import { KeyFile } from './seal';

/**
 * Ed25519 (RFC 8032, 2017) signatures over entries of the ledger, with a key of this installation that lies beside the
 * data in a 0600 file and in no backup. Its public half is named when a plan is locked, so that whoever copies it then
 * can tell later that nobody without that file has written the record anew.
 */

/** The steps of a study that are signed: each signature stands for all that the ledger says up to there. */
export const signedKinds: readonly string[] = [
  'plan-locked',
  'level-deviation',
  'amended',
  'study-closed',
  'unsealed',
  'signed',
  'refused',
  'restored',
  'older-copy',
];

// What DER puts before the 32 bytes of a key (RFC 8410, 2018, section 7 and 4).
const privatePrefix = Buffer.from('302e020100300506032b657004220420', 'hex');
const publicPrefix = Buffer.from('302a300506032b6570032100', 'hex');

const privateKeyOf = (secret: Buffer) =>
  createPrivateKey({ key: Buffer.concat([privatePrefix, secret]), format: 'der', type: 'pkcs8' });

/** The public key of 32 secret bytes, in hexadecimal. */
export function publicKeyOf(secret: Buffer): string {
  const der = createPublicKey(privateKeyOf(secret)).export({ format: 'der', type: 'spki' });
  return der.subarray(publicPrefix.length).toString('hex');
}

/** The signature of a message, 64 bytes in hexadecimal. */
export const sign = (secret: Buffer, message: Buffer): string =>
  nodeSign(null, message, privateKeyOf(secret)).toString('hex');

/** Whether a signature is that of this key over this message; false also for what is no key or no signature. */
export function verify(publicKey: string, message: Buffer, signature: string): boolean {
  if (!/^[0-9a-f]{64}$/.test(publicKey) || !/^[0-9a-f]{128}$/.test(signature)) return false;
  try {
    const key = createPublicKey({
      key: Buffer.concat([publicPrefix, Buffer.from(publicKey, 'hex')]),
      format: 'der',
      type: 'spki',
    });
    return nodeVerify(null, message, key, Buffer.from(signature, 'hex'));
  } catch {
    return false;
  }
}

/** What is signed: what kind of thing it is, which entry, and its hash, which holds all entries before it. */
export const signedMessage = ({ seq, hash }: { seq: number; hash: string }): Buffer =>
  Buffer.from(`fair-hearing/signature/1\n${seq}\n${hash}`);

/** The secret half of the key of this installation; made when there is none. */
function signingKey(folder: string): Buffer {
  const file = new KeyFile(folder, 'signing');
  const there = file.read();
  if (there) return there;
  const made = randomBytes(32);
  file.write(made);
  return made;
}

/** The public half, as it is named when a plan is locked. */
export const signingPublicKey = (folder: string): string => publicKeyOf(signingKey(folder));

/** Adds an entry to a ledger and signs it, if it is one of the steps that are. */
export async function recordSigned(
  tx: Db,
  folder: string,
  study: StudyId,
  entry: Parameters<typeof record>[2],
): Promise<LedgerEntry> {
  const written = await record(tx, study, entry);
  if (!signedKinds.includes(entry.kind)) return written;
  const secret = signingKey(folder);
  const { seq, hash } = written;
  const signature = sign(secret, signedMessage(written));
  await insertSignature(tx, { study_id: study, seq, hash, key: publicKeyOf(secret), signature });
  return written;
}

/** The same of entries that come together. */
export async function recordSignedAll(
  tx: Db,
  folder: string,
  study: StudyId,
  entries: readonly NewEntry[],
): Promise<void> {
  const secret = signingKey(folder);
  for (const { kind, seq, hash } of await recordAll(tx, study, entries)) {
    if (!signedKinds.includes(kind)) continue;
    const signature = sign(secret, signedMessage({ seq, hash }));
    await insertSignature(tx, { study_id: study, seq, hash, key: publicKeyOf(secret), signature });
  }
}

export async function signaturesOf(db: Db, study: StudyId): Promise<Signature[]> {
  const rows = await readSignatures(db, study);
  return rows.map(({ seq, hash, key, signature }) => ({ seq, hash, key, signature }));
}
