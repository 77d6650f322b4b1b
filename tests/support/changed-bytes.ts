import { expect } from 'vitest';
import { type Checked, checkRecord } from '../../server/blinding/check/check-record';
import type { CheckLine } from '../../server/blinding/check/line';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { StudyRecord } from '../../shared/record';

/** The check of a record as the command does it. */
export const checked = (text: string): Checked => checkRecord(text, (record) => findingsHash(findingsOf(record)));

export const failing = ({ lines }: Checked): CheckLine[] => lines.filter(({ holds }) => holds === false);

/**
 * Changes one byte at a time in one entry of every kind that a record has: in each of its fields, in their names, and in
 * the blanks between; in a long record in one of these, by turns. Each must be named by its entry. Answers with the
 * kinds; those that were done before are left out.
 */
export function expectChangedBytesNamed(text: string, before: readonly string[] = [], byTurns = false): string[] {
  // Findings are computed once: what a changed byte does to them is not what is asked here.
  const whole = checked(text);
  expect(failing(whole)).toEqual([]);
  const hash = findingsHash(findingsOf(JSON.parse(text) as StudyRecord));
  const { ledger } = JSON.parse(text) as StudyRecord;
  const kinds = [...new Set(ledger.map(({ kind }) => kind))].filter((kind) => !before.includes(kind));
  for (const [place, kind] of kinds.entries()) {
    const entry = ledger.findLast((one) => one.kind === kind)?.seq ?? 0;
    const [from, to] = spanOf(text, entry);
    const fields = [...text.slice(from, to).matchAll(/\n {3}"(\w+)": /g)];
    expect(fields.map(([, name]) => name)).toEqual(['seq', 'at', 'actor', 'kind', 'body', 'previous', 'hash']);
    // A field of each kind of entry in its value, and over all kinds every field; and a name, and a blank.
    const field = fields[place % fields.length] as RegExpExecArray;
    const value = from + field.index + field[0].length;
    const places = [value + 1, value - 4, from + field.index + 2];
    for (const at of byTurns ? [places[place % 3] ?? value] : places) {
      const found = failing(checkRecord(changed(text, at), () => hash));
      expect([kind, field[1], at - from, found.some((line) => line.entry === entry)]).toEqual([
        kind,
        field[1],
        at - from,
        true,
      ]);
    }
  }
  return kinds;
}

/** Where an entry stands in the text of a record. */
function spanOf(text: string, seq: number): [from: number, to: number] {
  const begin = text.indexOf(`\n  {\n   "seq": ${seq},`);
  const end = text.indexOf('\n  }', begin + 1);
  expect(begin).toBeGreaterThan(0);
  return [begin, end];
}

/** Another sign in the place of one: still a digit where a digit was, a letter where a letter was. */
function changed(text: string, at: number): string {
  const sign = text[at] ?? '';
  const other = /[0-8]/.test(sign)
    ? String(Number(sign) + 1)
    : sign === '9'
      ? '8'
      : sign === 'e'
        ? 'f'
        : sign === ' '
          ? '\t'
          : 'e';
  return text.slice(0, at) + other + text.slice(at + 1);
}
