import type { LedgerEntry, StudyRecord } from '../../../shared/record';
import { gatheredElsewhere, importedEntry } from '../imported';
import { entryHash } from '../ledger';
import { lockedKey } from '../record';
import { signedKinds, signedMessage, verify } from '../signing';
import { type CheckLine, fails, holds, untold } from './line';

const what = 'Signature';

/** A key short enough to compare by eye with what was copied when the plan was locked. */
const shortly = (key: string): string => `${key.slice(0, 16)}…`;

/** Whoever has a record can go on from any of its entries with a key of their own, so this is for people to find out. */
const movedWords = (key: string): string =>
  `from here on another key signs, ${key}: a copy went on on another machine, or somebody wrote on who has no key of the first; ask there`;

/** A line for every step that is signed, and one for the key. */
export function signatureLines(record: StudyRecord): CheckLine[] {
  const { ledger, signatures, keys } = record;
  // Made of a file by the command line, where no installation is that could sign.
  if (importedEntry(ledger) && signatures.length === 0 && keys.public === null && lockedKey(ledger) === null) {
    return [untold(what, `${gatheredElsewhere}, on the command line: nobody signed that`)];
  }
  const due = ledger.filter(({ kind }) => signedKinds.includes(kind));
  const named = lockedKey(ledger);
  const lines: CheckLine[] = [];
  const locked = ledger.find(({ kind }) => kind === 'plan-locked');
  if (named === null || keys.public !== named) {
    const why = named === null ? 'names no key: it was locked before there were signatures' : 'names another key';
    lines.push(fails('Key', `the entry of the locked plan ${why}`, locked?.seq));
  } else lines.push(holds('Key', `${named}; compare it with what was copied when the plan was locked`));
  let current = named;
  for (const entry of due) {
    const own = signatures.filter(({ seq }) => seq === entry.seq);
    const [signature] = own;
    if (!signature || own.length > 1) {
      lines.push(fails(what, `${entry.kind}: ${signature ? 'signed twice' : 'not signed'}`, entry.seq));
      continue;
    }
    // On another machine a copy goes on with the key of that machine.
    const moved = entry.kind === 'restored' && signature.key !== current && entry.seq > (locked?.seq ?? entry.seq);
    if (moved) current = signature.key;
    // A draft that went back was signed before any key was named.
    const early = locked !== undefined && entry.seq < locked.seq;
    const wrong = wrongWith(entry, signature, early ? signature.key : current);
    lines.push(
      wrong === null
        ? holds(what, `${entry.kind}, entry ${entry.seq}: signed by ${shortly(signature.key)}`)
        : fails(what, `${entry.kind}: signature no longer valid, ${wrong}`, entry.seq),
    );
    if (moved && wrong === null && signature.key !== named)
      lines.push(untold('Key', movedWords(signature.key), entry.seq));
  }
  const stray = signatures.find(({ seq }) => !due.some((entry) => entry.seq === seq));
  if (stray) lines.push(fails(what, 'signs an entry that is none of the steps that are signed', stray.seq));
  return lines;
}

function wrongWith(
  entry: LedgerEntry,
  { seq, hash, key, signature }: StudyRecord['signatures'][number],
  current: string | null,
): string | null {
  if (hash !== entry.hash || entryHash(entry) !== entry.hash) return 'the entry was changed since';
  if (!verify(key, signedMessage({ seq, hash }), signature)) return 'it is not the signature of this entry by this key';
  return key === current ? null : 'it was made with a key that the locked plan doesn’t name';
}
