/** A table as a spreadsheet writes it (RFC 4180, and what departs from it: semicolons, tabs, bare line feeds). */
export interface Table {
  /** What stands between cells. */
  separator: string;
  header: string[];
  /** Rows that hold something; `row` counts as a spreadsheet does, the headings being row 1. */
  rows: { row: number; cells: string[] }[];
}

export interface TableFault {
  row: number;
  code: 'not-a-table' | 'too-many' | 'too-long';
  message: string;
}
export type ReadTable = { table: Table; fault: null } | { table: null; fault: TableFault };

/** What is more than any panel has, and would hold up whoever else the server is there for. */
export const tableLimits = { rows: 100_000, columns: 500, heading: 200 };

const separators = [',', ';', '\t'];

/** Reads a whole text. The separator is the one that the row of headings has most of, outside quotes. */
export function readTable(text: string): ReadTable {
  // Some spreadsheets say first what stands between cells, and count that line as none.
  const [, said, rest] = /^sep=(.)\r?\n([\s\S]*)$/.exec(text) ?? [];
  const body = rest ?? text;
  const separator = said ?? likeliest(body);
  let header = null as string[] | null;
  const rows: Table['rows'] = [];
  const refused = (at: number, code: TableFault['code'], message: string): ReadTable => ({
    table: null,
    fault: { row: at, code, message },
  });
  let row = 1;
  let cell = '';
  let cells: string[] = [];
  let at = 0;
  const endCell = () => {
    cells.push(cell);
    cell = '';
  };
  const endRow = () => {
    endCell();
    if (header === null) header = cells;
    else if (cells.some((own) => own.trim() !== '')) rows.push({ row, cells });
    cells = [];
    row++;
  };
  while (at < body.length) {
    const sign = body[at] as string;
    if (sign === '"' && cell === '') {
      const end = closingQuote(body, at);
      if (end < 0)
        return refused(
          row,
          'not-a-table',
          'Here stands a quotation mark that never ends. Save the table as CSV again.',
        );
      cell = body.slice(at + 1, end).replaceAll('""', '"');
      at = end + 1;
    } else if (sign === separator) {
      endCell();
      at++;
    } else if (sign === '\n' || sign === '\r') {
      endRow();
      if (rows.length > tableLimits.rows) break;
      at += body.startsWith('\r\n', at) ? 2 : 1;
    } else {
      cell += sign;
      at++;
    }
  }
  if (cell !== '' || cells.length > 0) endRow();
  if (rows.length > tableLimits.rows) {
    const most = tableLimits.rows.toLocaleString('en');
    return refused(rows.at(-1)?.row ?? row, 'too-many', `A file of answers has at most ${most} rows.`);
  }
  const headings = header ?? [];
  if (headings.length > tableLimits.columns) {
    const message = `A file of answers has at most ${tableLimits.columns} columns, and this has ${headings.length}.`;
    return refused(1, 'too-many', message);
  }
  if (headings.some((heading) => heading.length > tableLimits.heading)) {
    const message = `A heading has at most ${tableLimits.heading} characters. Is this row the one of the headings?`;
    return refused(1, 'too-long', message);
  }
  return { table: { separator, header: headings, rows }, fault: null };
}

function closingQuote(text: string, from: number): number {
  let at = text.indexOf('"', from + 1);
  while (at >= 0 && text[at + 1] === '"') at = text.indexOf('"', at + 2);
  return at;
}

function likeliest(text: string): string {
  const head = headOf(text);
  const counts = separators.map((separator) => head.split(separator).length);
  return separators[counts.indexOf(Math.max(...counts))] ?? ',';
}

/** The first row without what is quoted. */
function headOf(text: string): string {
  let [head, quoted] = ['', false];
  for (const sign of text) {
    if (sign === '"') quoted = !quoted;
    else if (!quoted && (sign === '\n' || sign === '\r')) break;
    else if (!quoted) head += sign;
  }
  return head;
}
