import type { LedgerEntry, StudyRecord } from '../../shared/record';
import { decisionInvalid } from '../blinding/check/decision';
import { brokenAt } from '../blinding/ledger';
import { quarantinedIn } from '../blinding/quarantined';
import { storyOf } from '../blinding/story';
import { namesSaid } from '../roles/role-words';
import { utcMinute } from '../time-words';
import { approversTakenOut, notIndependent } from './signing-off';
import type { VerdictPage } from './view-models';

/** What a record tells beyond its findings: who decided, and whether that still stands. */

const lastOf = ({ ledger }: StudyRecord, kind: string): LedgerEntry | undefined =>
  ledger.findLast((entry) => entry.kind === kind);

export const decisionIn = (record: StudyRecord): LedgerEntry | undefined =>
  lastOf(record, 'signed') ?? lastOf(record, 'refused');

/** Null where nobody has decided. */
export function decisionOf(record: StudyRecord, findingsHash: string): VerdictPage['decision'] {
  const entry = decisionIn(record);
  if (!entry) return null;
  return {
    kind: entry.kind === 'signed' ? 'signed' : 'refused',
    name: String(entry.body.name),
    at: utcMinute(entry.at),
    meaning: String(entry.body.meaning),
    reason: String(entry.body.reason),
    also: alsoOf(String(entry.body.name), record.ledger),
    hash: String(entry.body.findingsHash),
    dataHash: typeof entry.body.dataHash === 'string' ? entry.body.dataHash : null,
    deviations: Array.isArray(entry.body.deviations)
      ? (entry.body.deviations as { words: string }[]).map(({ words }) => words)
      : [],
    invalid: decisionInvalid(record, findingsHash),
  };
}

/** For the first lines of the letter, before what the findings say themselves. */
export function recordNotes(
  record: StudyRecord,
  decision: VerdictPage['decision'],
  broken: number | null = brokenAt(record.ledger),
): string[] {
  return [
    ...(broken === null ? [] : [`The record was changed at entry ${broken}: nothing here can be trusted.`]),
    ...(decision?.invalid ? [decision.invalid] : []),
    ...notIndependent(lastOf(record, 'signed')),
    ...approversTakenOut(record.ledger),
  ];
}

/** Answers that came after the unsealing, where the findings end. */
export function laterWords({ ledger }: StudyRecord): string | null {
  const unsealed = ledger.findLast(({ kind }) => kind === 'unsealed')?.seq ?? Number.POSITIVE_INFINITY;
  const count = quarantinedIn(ledger).filter(({ seq, practice }) => seq > unsealed && !practice).length;
  if (count === 0) return null;
  return `${count === 1 ? '1 answer' : `${count} answers`} came in after unsealing. ${count === 1 ? 'It is' : 'They are'} kept apart and not counted.`;
}

/** Who decides on a study is better not the one who ran it; where it was so, the letter says so. */
function alsoOf(name: string, ledger: readonly LedgerEntry[]): string | null {
  const story = storyOf(ledger);
  const has = (kind: string) => ledger.some((entry) => entry.kind === kind && entry.actor === `staff:${name}`);
  const did = [
    ...(story.operators.includes(name) ? ['ran the desk'] : []),
    ...(story.openings.some((opening) => opening.by === name) ? ['opened the preparation sheet'] : []),
    ...(has('revealed') ? ['had a code revealed'] : []),
    ...(has('excluded') ? ['left answers out'] : []),
  ];
  return did.length === 0 ? null : `${name} also ${namesSaid(did)} in this study.`;
}
