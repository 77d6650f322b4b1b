import type { LedgerEntry } from '../../shared/record';
import { utcMinute } from '../time-words';

/** A ledger that is, or was, shorter than it had been: a backup was put back, or an older copy was found at start. */
export interface OlderCopy {
  seq: number;
  at: string;
  /** Entries that had been written and are not in this ledger, as far as is known; null where it isn't. */
  missing: number | null;
  /** Whether the key had been opened in what was replaced, and not yet in what came back. */
  keyWasOpen: boolean;
  words: string;
}

interface Head {
  seq: number;
  unsealed?: boolean;
}

/** Every time a ledger went back, as it says itself. */
export function olderCopies(ledger: readonly LedgerEntry[]): OlderCopy[] {
  const unsealed = ledger.find(({ kind }) => kind === 'unsealed')?.seq ?? Number.POSITIVE_INFINITY;
  return ledger.flatMap(({ seq, at, kind, body }) => {
    if (kind !== 'restored' && kind !== 'older-copy') return [];
    const before = (kind === 'restored' ? body.replaced : body.remembered) as Head | null;
    const found = kind === 'restored' ? seq - 1 : (body.found as Head).seq;
    const missing = before === null ? null : Math.max(0, before.seq - found);
    const keyWasOpen = before?.unsealed === true && seq < unsealed;
    const what =
      kind === 'restored' ? restored(body.madeAt as string | null) : 'The data were found older than they had been.';
    const words = [what, missingWords(missing), ...(keyWasOpen ? [openWords] : [])].join(' ');
    return [{ seq, at, missing, keyWasOpen, words }];
  });
}

const restored = (madeAt: string | null): string =>
  madeAt === null ? 'A copy of the data was put back.' : `A backup of ${utcMinute(madeAt)} was put back.`;

function missingWords(missing: number | null): string {
  if (missing === null) return 'Whether something was recorded after it is not known here.';
  if (missing === 0) return 'Nothing of this study was recorded after it.';
  return `${missing} ${missing === 1 ? 'entry' : 'entries'} of this study recorded after it ${missing === 1 ? 'is' : 'are'} not in this record.`;
}

const openWords =
  'By then the key had been opened: whoever saw it may have known what was heard in this study from here on.';
