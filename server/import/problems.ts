import type { Problem } from '../../shared/problem';

/** What is wrong with a file of answers: in which row, as a spreadsheet counts them, and in which column. */
export interface RowProblem extends Problem {
  /** From 1, which is the row of the headings; null where no row is at fault. */
  row: number | null;
  column: string | null;
}

/** Of what was typed no more is said again than fits a line. */
const mostQuoted = 80;
export const clipped = (typed: string): string =>
  typed.length <= mostQuoted ? typed : `${[...typed.slice(0, mostQuoted)].slice(0, -1).join('')}…`;

/** So many are told; of more only how many. */
export const mostTold = 50;

/** Collects all that is wrong with a file, so that whoever typed it mends it in one go. */
export class RowProblems {
  private readonly all: RowProblem[] = [];
  private readonly seen = new Set<string>();

  get none(): boolean {
    return this.all.length === 0;
  }

  /** @param said a sentence that goes on after “Row 12, column value: ” */
  add(
    row: number | null,
    column: string | null,
    code: string,
    said: string,
    told: Pick<Problem, 'allowed' | 'got'> = {},
  ) {
    const got = told.got === undefined ? undefined : clipped(told.got);
    const what = got === told.got ? said : said.replaceAll(String(told.got), () => String(got));
    const more = { ...told, ...(got === undefined ? {} : { got }) };
    const where = [row === null ? '' : `Row ${row}`, column === null ? '' : `column “${column}”`]
      .filter(Boolean)
      .join(', ');
    const message = where === '' ? what : `${where}: ${what}`;
    const path = [row === null ? '' : `rows.${row}`, column ?? ''].filter(Boolean).join('.');
    // A cell that is read twice is wrong once.
    const key = [row, column, code].join('\u0000');
    if (this.seen.has(key)) return;
    this.seen.add(key);
    this.all.push({ code, message, path: path || 'ANSWERS', ...more, row, column });
  }

  /** In the order of rows; after the fiftieth one line says how many more there are. */
  told(): RowProblem[] {
    const sorted = this.all
      .map((problem, at) => ({ problem, at }))
      .sort((a, b) => (a.problem.row ?? 0) - (b.problem.row ?? 0) || a.at - b.at)
      .map(({ problem }) => problem);
    if (sorted.length <= mostTold) return sorted;
    const more = sorted.length - mostTold;
    return [
      ...sorted.slice(0, mostTold),
      { code: 'and-more', message: `And ${more} more.`, path: 'ANSWERS', row: null, column: null },
    ];
  }
}
