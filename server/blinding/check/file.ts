import { recordSchema, type StudyRecord } from '../../../shared/record';
import { canonicalJson } from '../canonical-json';
import { isJson } from '../is-json';
import { checksumOf, recordText } from '../record';
import { type CheckLine, fails, holds } from './line';

/** What came of reading the file: the record, if it is one, and what is to be said of the file. */
export interface ReadRecord {
  record: StudyRecord | null;
  line: CheckLine;
}

const what = 'File';

/** Reads the bytes of a record: is it JSON, of the right shape, and byte for byte as it was written? */
export function readRecordText(text: string): ReadRecord {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    return { record: null, line: fails(what, 'is no JSON any more', brokenEntry(text)) };
  }
  const parsed = recordSchema.safeParse(raw);
  if (!parsed.success) {
    const path = parsed.error.issues[0]?.path ?? [];
    const detail = `is not as a record must be, at ${path.join('.') || 'the top'}`;
    const [part, index] = path;
    return { record: null, line: fails(what, detail, entryNamed(raw, part, index)) };
  }
  const record = parsed.data;
  // Of what was read and not of what stood there: a name that no reader keeps, such as __proto__, shows as well.
  const laidOut = attempted(() => recordText(record));
  const checksum = attempted(() => checksumOf(record));
  if (laidOut === null || checksum === null) {
    const odd = record.ledger.find(
      ({ body, actor, kind }) => attempted(() => canonicalJson({ body, actor, kind })) === null,
    );
    return { record, line: fails(what, 'holds something that no record can hold', odd?.seq) };
  }
  if (laidOut !== text) {
    return {
      record,
      line: fails(what, 'was laid out anew since it was written', entryAt(text, firstDifference(text, laidOut))),
    };
  }
  if (record.sha256 === undefined) {
    return {
      record,
      line: fails(what, 'has no checksum: it was written by an older version, or the checksum was taken out'),
    };
  }
  if (record.sha256 !== checksum) return { record, line: fails(what, 'is not what its checksum was made of') };
  return { record, line: holds(what, `${text.length} characters, as they were written; checksum ${record.sha256}`) };
}

/** The entry that a path of the schema leads to. */
function entryNamed(raw: unknown, part: unknown, index: unknown): number | undefined {
  if (typeof index !== 'number') return undefined;
  if (part === 'ledger') return index + 1;
  if (part !== 'signatures') return undefined;
  const seq = (raw as { signatures?: { seq?: unknown }[] }).signatures?.[index]?.seq;
  return typeof seq === 'number' ? seq : undefined;
}

function firstDifference(a: string, b: string): number {
  let at = 0;
  while (at < a.length && a[at] === b[at]) at++;
  return at;
}

/** Entries stand one after the other, each beginning with a line of its own. */
const entryBegins = /\n {2}\{/g;

function entryAt(text: string, offset: number): number | undefined {
  const [from, to] = ledgerSpan(text);
  if (offset < from || offset > to) return undefined;
  const before = text.slice(from, offset + 1).match(entryBegins)?.length ?? 0;
  return Math.max(1, before);
}

/** The first entry that can't be read by itself. */
function brokenEntry(text: string): number | undefined {
  const [from, to] = ledgerSpan(text);
  const entries = text.slice(from, to).split(entryBegins).slice(1);
  const broken = entries.findIndex((entry) => !isJson(`{${entry.replace(/,?\s*$/, '')}`));
  return broken < 0 ? undefined : broken + 1;
}

function ledgerSpan(text: string): [from: number, to: number] {
  const from = text.indexOf('"ledger": [');
  const to = text.indexOf('\n ],', Math.max(0, from));
  return [Math.max(0, from), to < 0 ? text.length : to];
}

/** Null for what can't be written: lone surrogates, numbers beyond all bounds, braces in braces without end. */
function attempted(write: () => string): string | null {
  try {
    return write();
  } catch {
    return null;
  }
}
