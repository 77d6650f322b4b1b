import type { RowProblems } from './problems';

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

  /** A number with a point or a comma, and the minus of a keyboard or of print; null where the cell is empty. */
  number(column: string): number | null {
    const typed = this.text(column);
    if (typed === '') return null;
    const plain = typed
      .replace(/^'(?=[-+−])/, '')
      .replace('−', '-')
      .replace(',', '.');
    if (/^[-+]?(\d+(\.\d*)?|\.\d+)$/.test(plain)) return Number(plain) + 0;
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
    const at = day === undefined ? Number.NaN : Date.parse(`${day}T${time}${zone}`);
    if (!Number.isNaN(at)) return new Date(at).toISOString();
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
