import type { RowProblems } from './problems';

/** Moments whose year has four digits whatever the zone. */
const earliest = Date.parse('1900-01-01T00:00Z');
const latest = Date.parse('9999-12-30T00:00Z');

/** Whether the calendar has it: there is no 31 February, though dates are reckoned on from one. */
function isDay(day: string): boolean {
  const at = Date.parse(`${day}T00:00Z`);
  return !Number.isNaN(at) && new Date(at).toISOString().startsWith(day);
}

/** The cells of one row by the names of their columns. Whatever can't be read is told, and read as if it were empty. */
export class Cells {
  constructor(
    readonly row: number,
    private readonly cells: ReadonlyMap<string, string>,
    readonly problems: RowProblems,
  ) {}

  text(column: string): string {
    return (this.cells.get(column) ?? '').trim();
  }

  /** A whole number from `least` to `most`; null where the cell is empty. */
  whole(column: string, least: number, most: number): number | null {
    const number = this.number(column);
    if (number === null) return null;
    if (Number.isInteger(number) && number >= least && number <= most) return number;
    this.wrong(column, 'out-of-range', `“${this.text(column)}” must be a whole number from ${least} to ${most}.`, {
      allowed: `${least} to ${most}`,
      got: this.text(column),
    });
    return null;
  }

  /** A number from 0 to `most`, with or without decimals; null where the cell is empty. */
  atLeastZero(column: string, most: number): number | null {
    const number = this.number(column);
    if (number === null || (number >= 0 && number <= most)) return number;
    const got = this.text(column);
    this.wrong(column, 'out-of-range', `“${got}” must be from 0 to ${most}.`, { allowed: `0 to ${most}`, got });
    return null;
  }

  /** A number with a point or a comma, and the minus of a keyboard or of print; null where the cell is empty. */
  number(column: string): number | null {
    const typed = this.text(column);
    if (typed === '') return null;
    const plain = typed
      .replace(/^'(?=[-+−])/, '')
      .replace('−', '-')
      .replace(',', '.');
    const number = /^[-+]?(\d+(\.\d*)?|\.\d+)$/.test(plain) ? Number(plain) + 0 : Number.NaN;
    // So many digits that no number holds them.
    if (Number.isFinite(number)) return number;
    this.wrong(column, 'not-a-number', `“${typed}” is no number.`, { allowed: 'a number', got: typed });
    return null;
  }

  /** Yes where it says so, no where it is empty. */
  yes(column: string): boolean {
    const typed = this.text(column).toLowerCase();
    if (['', '0', 'no', 'false', 'n'].includes(typed)) return false;
    if (['1', 'yes', 'true', 'y', 'x'].includes(typed)) return true;
    this.wrong(column, 'not-a-choice', `“${typed}” is neither yes nor no.`, { allowed: '1 or 0', got: typed });
    return false;
  }

  /** A moment, ISO 8601; without a zone it counts as UTC. Null where the cell is empty. */
  moment(column: string): string | null {
    const typed = this.text(column);
    if (typed === '') return null;
    const [, day, time = '00:00', zone = 'Z'] =
      /^(\d{4}-\d{2}-\d{2})(?:[T ](\d{2}:\d{2}(?::\d{2}(?:\.\d{1,3})?)?)(Z|[+-]\d{2}:\d{2})?)?$/.exec(typed) ?? [];
    const at = day === undefined || !isDay(day) ? Number.NaN : Date.parse(`${day}T${time}${zone}`);
    if (at >= earliest && at <= latest) return new Date(at).toISOString();
    this.wrong(column, 'bad-format', `“${typed}” is no moment. Write it as 2026-03-02 09:15.`, {
      allowed: 'ISO 8601, such as 2026-03-02T09:15:00Z',
      got: typed,
    });
    return null;
  }

  wrong(column: string | null, code: string, what: string, more: { allowed?: string; got?: string } = {}): void {
    this.problems.add(this.row, column, code, what, more);
  }
}
