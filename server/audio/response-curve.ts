import { ResponseError } from './response-error';

/**
 * How loud a unit plays each frequency. Levels in dB by any reference, in absolute SPL too: only differences count, and
 * filters made of a curve leave 1 kHz as it is. `right` is null where one curve stands for both ears.
 */
export interface ResponseCurve {
  /** In Hz, going up. */
  frequencies: number[];
  left: number[];
  right: number[] | null;
}

/** What a table must have and may hold. Points further apart than an octave leave too much to guess. */
export const responseLimits = {
  leastPoints: 10,
  mostRows: 20_000,
  mostCharacters: 2_000_000,
  /** What the points must span, in Hz. */
  from: 100,
  to: 8000,
  widestGap: 2.02,
  highestFrequency: 200_000,
  /** dB; with SPL of a coupler in mind. */
  furthestLevel: 200,
  /** dB from the level at 1 kHz, between `from` and `to`: more is a slip of the decimal mark. */
  furthestFromMiddle: 60,
} as const;

const names = { frequency: 'frequency_hz', left: 'left_db', right: 'right_db', one: 'level_db' } as const;

interface Row {
  /** As a spreadsheet counts. */
  number: number;
  cells: string[];
}

/**
 * Reads a response from a table of text: a first row `frequency_hz,left_db`, `frequency_hz,left_db,right_db` or
 * `frequency_hz,level_db` in any order, then a row a frequency, from low to high. Cells are separated by commas,
 * semicolons or tabs; but for commas, numbers may have a decimal comma. Rows that are empty or begin with # don't count.
 *
 * @throws ResponseError naming row and column
 */
export function readResponse(csv: string): ResponseCurve {
  const rows = rowsOf(csv);
  const [header, ...body] = rows.list;
  if (!header) throw new ResponseError('empty', `There is nothing in this table. ${expectedHeader}`);
  const columns = columnsOf(header);
  if (body.length < responseLimits.leastPoints) {
    throw new ResponseError(
      'too-few-points',
      `There ${body.length === 1 ? 'is 1 row' : `are ${body.length} rows`} with numbers; a response needs ${responseLimits.leastPoints} or more.`,
    );
  }
  const curve = numbersOf(body, columns, rows.separator !== ',');
  checkOrder(body, curve.frequencies);
  checkCoverage(body, curve.frequencies);
  for (const [levels, name] of [
    [curve.left, columns.leftName],
    [curve.right, names.right],
  ] as const) {
    if (levels) checkLevels(body, curve.frequencies, levels, name);
  }
  return curve;
}

const expectedHeader =
  'The first row names the columns: frequency_hz and left_db, with right_db for the other ear, or frequency_hz and level_db.';

function rowsOf(csv: string): { list: Row[]; separator: string } {
  if (csv.length > responseLimits.mostCharacters) {
    const megabytes = responseLimits.mostCharacters / 1e6;
    throw new ResponseError(
      'too-large',
      `This table is larger than ${megabytes} MB. Export fewer points: 48 an octave are plenty.`,
    );
  }
  const lines = csv.replace(/^\uFEFF/, '').split(/\r\n|\n|\r/);
  const kept = lines.map((text, i) => ({ text, number: i + 1 })).filter(({ text }) => /^\s*[^\s#]/.test(text));
  if (kept.length > responseLimits.mostRows + 1) {
    const rows = kept.length - 1;
    throw new ResponseError(
      'too-large',
      `This table has ${rows} rows; ${responseLimits.mostRows} are the most. Export fewer points: 48 an octave are plenty.`,
    );
  }
  const first = kept[0]?.text ?? '';
  const separator = [';', '\t'].find((mark) => first.includes(mark)) ?? ',';
  const cell = (text: string) =>
    text
      .trim()
      .replace(/^"(.*)"$/, '$1')
      .trim();
  return { list: kept.map(({ text, number }) => ({ number, cells: text.split(separator).map(cell) })), separator };
}

interface Columns {
  count: number;
  frequency: number;
  left: number;
  leftName: string;
  right: number | null;
}

function columnsOf({ number, cells }: Row): Columns {
  const found = cells.map((cell) => cell.toLowerCase());
  const at = (name: string) => found.indexOf(name);
  const refuse = (why: string, column: string | null = null): never => {
    throw new ResponseError('header', `Row ${number}: ${why} ${expectedHeader}`, number, column);
  };
  const known: string[] = Object.values(names);
  for (const [i, name] of found.entries()) {
    if (!known.includes(name)) refuse(`column ${i + 1} has no name that is known here.`);
    if (at(name) !== i) refuse(`${name} is there twice.`, name);
  }
  const leftName = at(names.one) >= 0 ? names.one : names.left;
  if (at(names.frequency) < 0) refuse(`${names.frequency} is missing.`, names.frequency);
  if (at(leftName) < 0) refuse(`${names.left} is missing.`, names.left);
  if (leftName === names.one && found.length > 2)
    refuse(`${names.one} stands for both ears and has no other beside it.`);
  const right = at(names.right);
  return {
    count: found.length,
    frequency: at(names.frequency),
    left: at(leftName),
    leftName,
    right: right < 0 ? null : right,
  };
}

const plainNumber = /^[+-]?(\d+(\.\d*)?|\.\d+)(e[+-]?\d+)?$/i;

function numbersOf(rows: Row[], columns: Columns, decimalComma: boolean): ResponseCurve {
  const curve: ResponseCurve = { frequencies: [], left: [], right: columns.right === null ? null : [] };
  for (const { number, cells } of rows) {
    if (cells.length !== columns.count) {
      const comma = !decimalComma && cells.length > columns.count;
      throw new ResponseError(
        'columns',
        `Row ${number} has ${cells.length} cells and the first row ${columns.count}.` +
          (comma ? ' If numbers have a decimal comma, separate cells by semicolons.' : ''),
        number,
      );
    }
    const read = (column: number, name: string): number => {
      const cell = cells[column] as string;
      const text = decimalComma ? cell.replace(',', '.') : cell;
      const value = plainNumber.test(text) ? Number(text) : Number.NaN;
      if (!Number.isFinite(value)) {
        throw new ResponseError(
          'not-a-number',
          `Row ${number}, ${name}: this is no number. Write it like 1000 or -3.5.`,
          number,
          name,
        );
      }
      return value;
    };
    const frequency = read(columns.frequency, names.frequency);
    if (!(frequency > 0 && frequency <= responseLimits.highestFrequency)) {
      throw new ResponseError(
        'out-of-range',
        `Row ${number}, ${names.frequency}: ${frequency} Hz is no frequency of a response. Frequencies are in Hz and above 0.`,
        number,
        names.frequency,
      );
    }
    curve.frequencies.push(frequency);
    curve.left.push(read(columns.left, columns.leftName));
    if (columns.right !== null) curve.right?.push(read(columns.right, names.right));
  }
  return curve;
}

function checkOrder(rows: Row[], frequencies: number[]): void {
  for (let i = 1; i < frequencies.length; i++) {
    const [before, here] = [frequencies[i - 1] as number, frequencies[i] as number];
    if (here > before) continue;
    const row = (rows[i] as Row).number;
    throw new ResponseError(
      'order',
      here === before
        ? `Row ${row}: ${here} Hz is there twice. Keep one of them.`
        : `Row ${row}: ${here} Hz comes after ${before} Hz. Sort the rows by frequency.`,
      row,
      names.frequency,
    );
  }
}

function checkCoverage(rows: Row[], frequencies: number[]): void {
  const { from, to, widestGap } = responseLimits;
  const [lowest, highest] = [frequencies[0] as number, frequencies.at(-1) as number];
  if (lowest > from || highest < to) {
    throw new ResponseError(
      'coverage',
      `These rows go from ${lowest} to ${highest} Hz; a response goes from ${from} Hz or less to ${to} Hz or more. ` +
        'Measure the missing part, and check that frequencies are in Hz.',
    );
  }
  for (let i = 1; i < frequencies.length; i++) {
    const [below, above] = [frequencies[i - 1] as number, frequencies[i] as number];
    if (above <= from || below >= to || above / below <= widestGap) continue;
    const row = (rows[i] as Row).number;
    throw new ResponseError(
      'coverage',
      `Row ${row}: there is nothing between ${below} and ${above} Hz. Points lie an octave apart or less.`,
      row,
      names.frequency,
    );
  }
}

function checkLevels(rows: Row[], frequencies: number[], levels: number[], column: string): void {
  const { from, to, furthestLevel, furthestFromMiddle } = responseLimits;
  const middle = levelAt(frequencies, levels, 1000);
  for (const [i, level] of levels.entries()) {
    const row = (rows[i] as Row).number;
    const frequency = frequencies[i] as number;
    if (Math.abs(level) > furthestLevel) {
      throw new ResponseError(
        'out-of-range',
        `Row ${row}, ${column}: ${level} dB is no level of an in-ear. Check the decimal mark.`,
        row,
        column,
      );
    }
    const away = level - middle;
    if (frequency >= from && frequency <= to && Math.abs(away) > furthestFromMiddle) {
      throw new ResponseError(
        'out-of-range',
        `Row ${row}, ${column}: ${level} dB is ${Math.round(Math.abs(away))} dB ${away > 0 ? 'above' : 'below'} the level ` +
          'at 1 kHz. Check the decimal mark.',
        row,
        column,
      );
    }
  }
}

/** The level at a frequency, straight between neighbours on a logarithmic axis, held flat beyond both ends. */
export function levelAt(frequencies: readonly number[], levels: readonly number[], frequency: number): number {
  const last = frequencies.length - 1;
  if (frequency <= (frequencies[0] as number)) return levels[0] as number;
  if (frequency >= (frequencies[last] as number)) return levels[last] as number;
  let [below, above] = [0, last];
  while (above - below > 1) {
    const middle = (below + above) >> 1;
    if ((frequencies[middle] as number) <= frequency) below = middle;
    else above = middle;
  }
  const [f0, f1] = [frequencies[below] as number, frequencies[above] as number];
  const [l0, l1] = [levels[below] as number, levels[above] as number];
  return l0 + ((l1 - l0) * Math.log(frequency / f0)) / Math.log(f1 / f0);
}
