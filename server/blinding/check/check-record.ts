import type { LedgerEntry, StudyRecord } from '../../../shared/record';
import { toolVersion } from '../../root';
import { findingsHead } from '../exclusions';
import { brokenAt } from '../ledger';
import { olderCopies } from '../older-copies';
import { amendmentLines } from './amended';
import { drawLines, planLines } from './draw';
import { readRecordText } from './file';
import { type CheckLine, fails, holds, untold } from './line';
import { lookLines } from './looks';
import { signatureLines } from './signatures';
import { soundLines } from './sound';
import { stepsLine } from './steps';

export interface Checked {
  holds: boolean;
  lines: CheckLine[];
}

/** What the findings are made of; the review hands it in, since blinding doesn't know its findings. */
export type HashOfFindings = (record: StudyRecord) => string;

/**
 * Checks a record by itself, without a database: the file, the chain of its entries, its signatures, the order of
 * steps, the plan, the commitment, the draw, what looks showed, and the findings computed anew.
 */
export function checkRecord(text: string, findingsHash: HashOfFindings): Checked {
  const { record, line } = readRecordText(text);
  const lines = [line, ...(record ? recordLines(record, findingsHash) : [])];
  return { holds: lines.every((one) => one.holds !== false), lines };
}

function recordLines(record: StudyRecord, findingsHash: HashOfFindings): CheckLine[] {
  const { ledger } = record;
  const broken = brokenAt(ledger);
  return [
    broken === null
      ? holds('Chain', `${ledger.length} entries, each bound to all before it; head ${ledger.at(-1)?.hash ?? ''}`)
      : fails('Chain', `entry ${broken} is not as it was written: it, or what it follows, was changed`, broken),
    ...attempted('Signature', () => signatureLines(record)),
    ...attempted('Order of steps', () => [stepsLine(ledger)]),
    ...attempted('Plan', () => [...planLines(ledger), ...amendmentLines(ledger)]),
    ...attempted('Draw', () => drawLines(ledger)),
    ...attempted('Sound', () => soundLines(record)),
    ...attempted('Looks', () => lookLines(ledger)),
    ...attempted('Findings', () => [findingsLine(record, findingsHash)]),
    ...attempted('Older copy', () => restoredLines(ledger)),
  ];
}

/** What a changed record may make impossible to compute doesn't hold. */
function attempted(what: string, lines: () => CheckLine[]): CheckLine[] {
  try {
    return lines();
  } catch (error) {
    return [fails(what, sayable(error) ?? 'can’t be told: an entry is not as it must be')];
  }
}

/** Errors of our own are sentences; what the language or a schema says of a forged entry is none. */
const sayable = (error: unknown): string | null =>
  error instanceof Error && error.constructor === Error ? error.message : null;

function findingsLine(record: StudyRecord, findingsHash: HashOfFindings): CheckLine {
  const what = 'Findings';
  if (!record.ledger.some(({ kind }) => kind === 'unsealed')) {
    return untold(what, 'the study is sealed: there are none yet');
  }
  const hash = findingsHash(record);
  const decision = record.ledger.find(({ kind }) => kind === 'signed' || kind === 'refused');
  if (!decision) return holds(what, `${hash}, computed anew; neither signed nor refused yet`);
  // Another version may count otherwise, which its list of changes says.
  const { version } = record.tool;
  const versions =
    version === toolVersion ? '' : `; the record was written by version ${version}, and this is ${toolVersion}`;
  const { dataHash } = decision.body;
  if (typeof dataHash === 'string' && dataHash !== findingsHead(record.ledger)?.hash) {
    return fails(what, `the data end at another entry than those that were ${decision.kind}`, decision.seq);
  }
  return decision.body.findingsHash === hash
    ? holds(what, `${hash}, computed anew, and the same as were ${decision.kind}`)
    : fails(what, `computed anew they are ${hash}, which is not what was ${decision.kind}${versions}`, decision.seq);
}

/** That a copy was put back is no fault, but whoever checks should know. */
const restoredLines = (ledger: readonly LedgerEntry[]): CheckLine[] =>
  olderCopies(ledger).map(({ seq, words }) => {
    const { kind, body, previous } = ledger[seq - 1] as LedgerEntry;
    const copy = (kind === 'restored' ? body : body.found) as { seq?: unknown; hash?: unknown };
    return copy.seq === seq - 1 && copy.hash === previous
      ? { what: 'Older copy', holds: true, entry: seq, detail: words }
      : fails('Older copy', 'the copy that it tells of did not end here', seq);
  });
