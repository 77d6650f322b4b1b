import fc from 'fast-check';
import { expect, test } from 'vitest';
import { levelAt, readResponse } from '../../server/audio/response-curve';
import { ResponseError } from '../../server/audio/response-error';

const frequencies = [20, 50, 100, 200, 400, 800, 1000, 2000, 3000, 4000, 6000, 8000, 12000, 20000];
const both = frequencies.map((f, i) => [f, 94 + i / 4, 93.5 - i / 8]);
const table = (header: string, rows: (string | number)[][], separator = ',') =>
  [header, ...rows.map((row) => row.join(separator))].join('\n');
const good = table('frequency_hz,left_db,right_db', both);

const refusal = (csv: string): ResponseError => {
  try {
    readResponse(csv);
  } catch (error) {
    if (error instanceof ResponseError) return error;
    throw error;
  }
  throw new Error('Nothing was refused.');
};

test('two ears', () => {
  const curve = { frequencies, left: both.map(([, left]) => left), right: both.map(([, , right]) => right) };
  expect(readResponse(good)).toEqual(curve);
});

test('one ear, or one curve for both, has no right', () => {
  for (const name of ['left_db', 'level_db']) {
    const csv = table(
      `frequency_hz,${name}`,
      both.map(([f, left]) => [f as number, left as number]),
    );
    expect(readResponse(csv)).toEqual({ frequencies, left: both.map(([, left]) => left), right: null });
  }
});

test('whatever separates, ends lines, or decorates: the same curve', () => {
  const comma = (separator: string) => [
    `Frequency_Hz${separator}LEFT_dB${separator} right_db `,
    ...both.map((row) => row.map((x) => `${x}`.replace('.', ',')).join(separator)),
  ];
  const variants = [
    comma(';').join('\n'),
    comma('\t').join('\r\n'),
    comma(';').join('\r'),
    `\uFEFF${good}\n\n`,
    `# measured in a coupler\n\n${good.replace('\n', '\n  # a note, with commas\n')}`,
    good
      .split('\n')
      .map((line) =>
        line
          .split(',')
          .map((cell) => `"${cell}"`)
          .join(' , '),
      )
      .join('\n'),
    table(
      'right_db,frequency_hz,left_db',
      both.map(([f, left, right]) => [right as number, f as number, left as number]),
    ),
    good.replaceAll(/^(\d)/gm, '+$1').replace('+1000,', '1e3,'),
  ];
  for (const csv of variants) expect(readResponse(csv)).toEqual(readResponse(good));
});

test('shuffled rows are refused by row, and told to be sorted', () => {
  const rows = [...both];
  [rows[5], rows[6]] = [rows[6] as number[], rows[5] as number[]];
  const error = refusal(table('frequency_hz,left_db,right_db', rows));
  expect(error).toMatchObject({ code: 'order', row: 8, column: 'frequency_hz' });
  expect(error.message).toBe('Row 8: 800 Hz comes after 1000 Hz. Sort the rows by frequency.');
});

test('rows are counted as a spreadsheet does, with comments and empty ones', () => {
  const csv = `# a\n\n${table('frequency_hz,left_db,right_db', [...both].reverse())}`;
  expect(refusal(csv)).toMatchObject({ code: 'order', row: 5 });
});

const changed = (row: number, cells: (string | number)[]) =>
  table(
    'frequency_hz,left_db,right_db',
    both.map((usual, i) => (i === row ? cells : usual)),
  );

test.each<[string, string, string, RegExp, number | null, string | null]>([
  ['nothing', '', 'empty', /nothing in this table\. The first row/, null, null],
  ['comments only', '# a\n# b', 'empty', /nothing/, null, null],
  [
    'no header',
    good.split('\n').slice(1).join('\n'),
    'header',
    /Row 1: column 1 has no name that is known here\. The first row names/,
    1,
    null,
  ],
  ['another column', good.replace('right_db', 'phase'), 'header', /column 3/, 1, null],
  [
    'no frequency',
    table(
      'left_db,right_db',
      both.map(([, a, b]) => [a as number, b as number]),
    ),
    'header',
    /frequency_hz is missing/,
    1,
    'frequency_hz',
  ],
  [
    'no level',
    table(
      'frequency_hz',
      both.map(([f]) => [f as number]),
    ),
    'header',
    /left_db is missing/,
    1,
    'left_db',
  ],
  [
    'a right ear alone',
    good.replace('left_db,', '').replaceAll(/,[\d.]+,/g, ','),
    'header',
    /left_db is missing/,
    1,
    'left_db',
  ],
  ['twice', good.replace('right_db', 'left_db'), 'header', /left_db is there twice/, 1, 'left_db'],
  ['level and right', good.replace('left_db', 'level_db'), 'header', /stands for both ears/, 1, null],
  ['a cell too few', changed(3, [200, 1]), 'columns', /Row 5 has 2 cells and the first row 3\.$/, 5, null],
  [
    'decimal commas between commas',
    changed(3, ['200', '94', '5', '93', '1']),
    'columns',
    /Row 5 has 5 cells .* semicolons/,
    5,
    null,
  ],
  ['a word', changed(4, [400, 'loud', 1]), 'not-a-number', /Row 6, left_db: this is no number/, 6, 'left_db'],
  ['nothing in a cell', changed(4, [400, 94, '']), 'not-a-number', /Row 6, right_db/, 6, 'right_db'],
  ['NaN', changed(0, [20, 'NaN', 1]), 'not-a-number', /Row 2, left_db/, 2, 'left_db'],
  ['infinity', changed(0, [20, 94, '-Infinity']), 'not-a-number', /Row 2, right_db/, 2, 'right_db'],
  ['too large for a number', changed(0, [20, 94, '1e999']), 'not-a-number', /Row 2, right_db/, 2, 'right_db'],
  ['hexadecimal', changed(0, ['0x14', 94, 94]), 'not-a-number', /Row 2, frequency_hz/, 2, 'frequency_hz'],
  ['a unit', changed(0, ['20 Hz', 94, 94]), 'not-a-number', /Row 2, frequency_hz/, 2, 'frequency_hz'],
  ['0 Hz', changed(0, [0, 94, 94]), 'out-of-range', /Row 2, frequency_hz: 0 Hz/, 2, 'frequency_hz'],
  ['below 0 Hz', changed(0, [-20, 94, 94]), 'out-of-range', /Row 2/, 2, 'frequency_hz'],
  ['far above hearing', changed(13, [2e6, 94, 94]), 'out-of-range', /Row 15/, 15, 'frequency_hz'],
  [
    'a level of no in-ear',
    changed(2, [100, 943, 94]),
    'out-of-range',
    /Row 4, left_db: 943 dB.*decimal mark/,
    4,
    'left_db',
  ],
  [
    'a decimal mark that slipped',
    changed(2, [100, 94, 9.4]),
    'out-of-range',
    /Row 4, right_db: 9\.4 dB is 83 dB below/,
    4,
    'right_db',
  ],
  ['twice the same', changed(3, [100, 94, 94]), 'order', /Row 5: 100 Hz is there twice/, 5, 'frequency_hz'],
  [
    'nine points',
    table('frequency_hz,left_db,right_db', both.slice(0, 9)),
    'too-few-points',
    /There are 9 rows/,
    null,
    null,
  ],
  [
    'kilohertz',
    table(
      'frequency_hz,left_db',
      frequencies.map((f) => [f / 1000, 94]),
    ),
    'coverage',
    /from 0\.02 to 20 Hz.*in Hz/,
    null,
    null,
  ],
  [
    'no treble',
    table('frequency_hz,left_db,right_db', both.slice(0, 11)),
    'coverage',
    /from 20 to 6000 Hz/,
    null,
    null,
  ],
  ['no bass', table('frequency_hz,left_db,right_db', both.slice(3)), 'coverage', /from 200 to 20000 Hz/, null, null],
  [
    'a gap',
    table(
      'frequency_hz,left_db,right_db',
      both.filter(([f]) => f !== 400),
    ),
    'coverage',
    /Row 6: there is nothing between 200 and 800 Hz/,
    6,
    'frequency_hz',
  ],
])('%s', (_, csv, code, words, row, column) => {
  const error = refusal(csv);
  expect(error).toMatchObject({ code, row, column });
  expect(error.message).toMatch(words);
});

test('too many rows and too much text are refused before they are read', () => {
  const many = Array.from({ length: 20_001 }, (_, i) => [20 + i, 94]);
  expect(refusal(table('frequency_hz,left_db', many)).message).toContain('20001 rows; 20000 are the most');
  expect(readResponse(table('frequency_hz,left_db', many.slice(1))).frequencies).toHaveLength(20_000);
  expect(refusal(`${good}\n#${'x'.repeat(2_000_000)}`).code).toBe('too-large');
});

test('any order but the right one is refused, and whatever text is, in words or as a curve', () => {
  fc.assert(
    fc.property(fc.shuffledSubarray(both, { minLength: both.length }), (rows) => {
      const sorted = rows.every((row, i) => row === both[i]);
      const csv = table('frequency_hz,left_db,right_db', rows);
      if (sorted) expect(readResponse(csv).frequencies).toEqual(frequencies);
      else expect(refusal(csv).code).toBe('order');
    }),
    { seed: 7, numRuns: 50 },
  );
  const piece = fc.constantFrom(
    'frequency_hz',
    'left_db',
    ',',
    ';',
    '\t',
    '\n',
    '"',
    '#',
    '1',
    '9',
    '.',
    '-',
    'e',
    'NaN',
    'ü',
    ' ',
  );
  fc.assert(
    fc.property(fc.array(piece, { maxLength: 60 }), (pieces) => {
      expect(refusal(pieces.join('')).message.length).toBeGreaterThan(20);
    }),
    { seed: 7, numRuns: 300 },
  );
});

test('between points: halfway by octaves is halfway by decibels; beyond them the level is held', () => {
  expect(levelAt([100, 400], [0, 6], 200)).toBeCloseTo(3, 12);
  expect(levelAt([100, 400], [0, 6], 1)).toBe(0);
  expect(levelAt([100, 400], [0, 6], 0)).toBe(0);
  expect(levelAt([100, 400], [0, 6], 20000)).toBe(6);
  for (const [i, frequency] of frequencies.entries()) {
    expect(
      levelAt(
        frequencies,
        frequencies.map((_, k) => k),
        frequency,
      ),
    ).toBeCloseTo(i, 12);
  }
});
