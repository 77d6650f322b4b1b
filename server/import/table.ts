/** A table as a spreadsheet writes it (RFC 4180, and what departs from it: semicolons, tabs, bare line feeds). */
export interface Table {
  /** What stands between cells. */
  separator: string;
  header: string[];
  /** Rows that hold something; `row` counts as a spreadsheet does, the headings being row 1. */
  rows: { row: number; cells: string[] }[];
}

export type ReadTable = { table: Table; fault: null } | { table: null; fault: { row: number; what: string } };

const separators = [',', ';', '\t'];

/** Reads a whole text. The separator is the one that the row of headings has most of, outside quotes. */
export function readTable(text: string): ReadTable {
  // Some spreadsheets say first what stands between cells, and count that line as none.
  const [, said, rest] = /^sep=(.)\r?\n([\s\S]*)$/.exec(text) ?? [];
  const body = rest ?? text;
  const separator = said ?? likeliest(body);
  const records: string[][] = [];
  let cell = '';
  let cells: string[] = [];
  let at = 0;
  const endCell = () => {
    cells.push(cell);
    cell = '';
  };
  const endRow = () => {
    endCell();
    records.push(cells);
    cells = [];
  };
  while (at < body.length) {
    const sign = body[at] as string;
    if (sign === '"' && cell === '') {
      const end = closingQuote(body, at);
      if (end < 0) return { table: null, fault: { row: records.length + 1, what: 'a quotation mark that never ends' } };
      cell = body.slice(at + 1, end).replaceAll('""', '"');
      at = end + 1;
    } else if (sign === separator) {
      endCell();
      at++;
    } else if (sign === '\n' || sign === '\r') {
      endRow();
      at += body.startsWith('\r\n', at) ? 2 : 1;
    } else {
      cell += sign;
      at++;
    }
  }
  if (cell !== '' || cells.length > 0) endRow();
  const [header = [], ...others] = records;
  const rows = others
    .map((own, i) => ({ row: i + 2, cells: own }))
    .filter((one) => one.cells.some((own) => own.trim() !== ''));
  return { table: { separator, header, rows }, fault: null };
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
