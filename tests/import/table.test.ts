import { describe, expect, test } from 'vitest';
import { readTable } from '../../server/import/table';
import { textOf } from '../../server/import/text';

/** What spreadsheets write (RFC 4180, 2005, section 2, and what they do besides: common practice). */

const rowsOf = (text: string) => readTable(text).table?.rows.map(({ row, cells }) => [row, ...cells]);

describe('text', () => {
  test.each<[string, Buffer]>([
    ['UTF-8', Buffer.from('Zoë;5')],
    ['UTF-8 with its mark', Buffer.from('\uFEFFZoë;5')],
    ['UTF-16 of Windows', Buffer.from('\uFEFFZoë;5', 'utf16le')],
    ['UTF-16 the other way', Buffer.from('\uFEFFZoë;5', 'utf16le').swap16()],
    ['Windows-1252', Buffer.from([0x5a, 0x6f, 0xeb, 0x3b, 0x35])],
  ])('%s', (_, bytes) => {
    expect(textOf(bytes)).toBe('Zoë;5');
  });
});

describe('tables', () => {
  test.each([',', ';', '\t'])('cells between %j', (between) => {
    const text = ['a', 'b', 'c'].join(between);
    expect(readTable(text).table?.separator).toBe(between);
    expect(readTable(text).table?.header).toEqual(['a', 'b', 'c']);
  });

  test('the separator is told by the headings alone, quoted ones left out', () => {
    expect(readTable('"a, b, c, d";e\n1;2').table?.header).toEqual(['a, b, c, d', 'e']);
    expect(readTable('sep=;\r\na;b,c\r\n1;2').table?.rows).toEqual([{ row: 2, cells: ['1', '2'] }]);
  });

  test.each(['\r\n', '\n', '\r'])('rows end in %j', (end) => {
    expect(rowsOf(['a,b', '1,2', '3,4', ''].join(end))).toEqual([
      [2, '1', '2'],
      [3, '3', '4'],
    ]);
  });

  test('quotes, doubled quotes, and what they hold: commas and breaks', () => {
    expect(rowsOf('a,b\r\n"x, ""y""","line\r\nbreak"\r\n"",z')).toEqual([
      [2, 'x, "y"', 'line\r\nbreak'],
      [3, '', 'z'],
    ]);
  });

  test('rows count as a spreadsheet counts them, empty ones and those with breaks among them', () => {
    expect(rowsOf('a,b\n\n"1\n1",2\n,\n3,4\n\n\n')).toEqual([
      [3, '1\n1', '2'],
      [5, '3', '4'],
    ]);
  });

  test('a quote that never ends is told by its row', () => {
    expect(readTable('a,b\n1,2\n"3,4\n5,6').fault).toMatchObject({ row: 3, code: 'not-a-table' });
  });

  test('nothing at all', () => {
    expect(readTable('').table).toEqual({ separator: ',', header: [], rows: [] });
  });
});
