import { type ImportedFindings, importedSchema } from '../../shared/findings-imported';
import type { LedgerEntry } from '../../shared/record';
import { importedEntry } from '../blinding/imported';

/** Where answers were gathered elsewhere: what was brought. Undefined where they were given here. */
export function importedOf(ledger: readonly LedgerEntry[]): ImportedFindings | undefined {
  const entry = importedEntry(ledger);
  return entry === null ? undefined : importedSchema.parse(entry.body);
}

/** What a reader must know before the verdict. */
export function importedNotes(ledger: readonly LedgerEntry[]): string[] {
  const found = importedOf(ledger);
  if (!found) return [];
  return [
    `The answers were gathered elsewhere and brought in as a file. Nobody can tell from this record who drew the samples, who knew what, or whether an answer was changed. What the plan says of handling was not watched over here.`,
    ...(found.order === 'untold'
      ? ['The file doesn’t say in which order samples were heard, so that nothing is corrected for order.']
      : []),
  ];
}

/** What the method section says of the file. */
export function importedRows({
  imported,
}: {
  imported?: ImportedFindings | undefined;
}): { label: string; value: string }[] {
  if (!imported) return [];
  const { file, sha256, rows, answers, codes, times, ignored } = imported;
  const coded = {
    given: 'its blinding codes',
    some: 'blinding codes for some samples; the others were drawn when it was brought',
    drawn: 'no blinding codes; those in tables were drawn when it was brought',
  }[codes];
  const timed = times === 'told' ? 'when each was answered' : 'not when all were answered';
  return [
    { label: 'Answers from', value: `${file}: ${answers} answers in ${rows} rows, with ${coded}, and ${timed}` },
    ...(ignored.length === 0 ? [] : [{ label: 'Columns not read', value: ignored.join(', ') }]),
    { label: 'Hash of the file', value: sha256 },
  ];
}
