import { describe, expect, test } from 'vitest';
import { toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { answersCsv, dictionaryCsv } from '../../server/review/answers-csv';
import { dictionaryOf } from '../../server/review/answers-dictionary';
import { aPlan } from '../blinding/a-plan';
import { chained, handLines, handPlan } from '../blinding/hand-ledger';
import { randomStudy } from './random-study';

/** RFC 4180 (2005), section 2: records end in CRLF, quotes are doubled, what holds a comma, quote or break is quoted. */
function parsed(csv: string): string[][] {
  const rows: string[][] = [[]];
  let cell = '';
  let i = 0;
  const end = () => {
    rows.at(-1)?.push(cell);
    cell = '';
  };
  while (i < csv.length) {
    if (csv[i] === '"' && cell === '') {
      for (i++; csv[i] !== '"' || csv[i + 1] === '"'; i++) {
        if (i >= csv.length) throw new Error('a quote that never ends');
        if (csv[i] === '"') i++;
        cell += csv[i];
      }
      i++;
      if (i < csv.length && csv[i] !== ',' && csv[i] !== '\r') throw new Error('text after a quoted cell');
    } else if (csv[i] === ',') {
      end();
      i++;
    } else if (csv.startsWith('\r\n', i)) {
      end();
      i += 2;
      if (i < csv.length) rows.push([]);
    } else {
      if (csv[i] === '"' || csv[i] === '\n' || csv[i] === '\r') throw new Error(`bare ${JSON.stringify(csv[i])}`);
      cell += csv[i++];
    }
  }
  return rows;
}
const tableOf = (csv: string): Record<string, string>[] => {
  const [head = [], ...rows] = parsed(csv);
  return rows.map((row) => Object.fromEntries(head.map((column, i) => [column, row[i] ?? 'nothing'])));
};
const csvOf = (plan = handPlan) => {
  const story = storyOf(chained(handLines(plan)));
  return answersCsv(story, toldTrials(story));
};

test('one row an answer: practice and void among them, marked', () => {
  const rows = tableOf(csvOf());
  expect(
    rows.map(({ listener, trial, answer, value, practice, void: spoilt }) => [
      listener,
      trial,
      answer,
      value,
      practice,
      spoilt,
    ]),
  ).toEqual([
    ['Home 1', '0', 'Prototype B', '-1', '1', ''],
    ['Home 1', '1', 'Prototype B', '-1', '0', ''],
    ['Home 1', '2', 'Prototype C', '1', '0', 'wrong-sample'],
    ['Home 1', '3', 'Prototype B', '1', '0', ''],
    ['Home 1', '4', 'Prototype A', '-1', '0', ''],
    ['Home 2', '0', 'none', '0', '1', ''],
    ['Home 2', '1', 'none', '0', '0', ''],
    ['Home 2', '2', 'Prototype A', '1', '0', ''],
  ]);
  expect(rows[1]).toMatchObject({
    study: 'Vent study',
    audience: 'Home',
    session: '1',
    sitting: '1',
    method: 'paired-preference',
    presentation_1: 'Prototype A',
    presentation_2: 'Prototype B',
    unit_1: 'S-A1',
    unit_2: 'S-B1',
    code_1: '203',
    code_2: '204',
    position: '1',
    exposure: '1',
    heard_ms: '9000',
    answered_ms: '12000',
    answered_at: '2026-03-02T09:00:15.000Z',
  });
});

test('a value is a number to whoever reads it: −1 is not taken for a formula', () => {
  const text = csvOf();
  expect(text).toContain(',-1,');
  expect(text).not.toContain("'-1");
});

describe('formulas are defused', () => {
  test.each(['=1+1', '+1', '-1', '@SUM(A1)', '=HYPERLINK("http://x")', '\tx', '＝1'])(
    'a prototype called %j',
    (name) => {
      const plan = { ...handPlan, prototypes: handPlan.prototypes.map((one, i) => (i === 0 ? { ...one, name } : one)) };
      // Spaces at the ends don't survive the plan's own check.
      const stored = name.trim();
      const rows = tableOf(csvOf(plan));
      const cells = rows
        .flatMap((row) => [row.presentation_1, row.presentation_2, row.answer])
        .filter((cell) => cell?.includes(stored));
      expect(cells.length).toBeGreaterThan(0);
      for (const cell of cells) expect(cell).toBe(/^[=+\-@\t＝]/.test(stored) ? `'${stored}` : stored);
    },
  );
});

test('commas, quotes and line breaks survive a reader that knows RFC 4180', () => {
  const name = 'Vent "A", wide\nand deep';
  const plan = {
    ...handPlan,
    title: 'a,b\r\n"c"',
    prototypes: handPlan.prototypes.map((one, i) => (i === 1 ? { ...one, name } : one)),
  };
  const text = csvOf(plan);
  const rows = tableOf(text);
  expect(rows).toHaveLength(8);
  expect(rows[0]?.presentation_2).toBe(name);
  expect(rows[0]?.study).toBe('a,b\r\n"c"');
  expect(text.endsWith('\r\n')).toBe(true);
});

test('the dictionary has every column, in its order, once, with a meaning', () => {
  const [head = []] = parsed(csvOf());
  expect(head).toEqual(dictionaryOf(handPlan).map(([column]) => column));
  expect(new Set(head).size).toBe(head.length);
  expect(tableOf(dictionaryCsv(handPlan)).map(({ column }) => column)).toEqual(head);
  expect(tableOf(dictionaryCsv(handPlan)).every(({ meaning }) => (meaning ?? '').length > 5)).toBe(true);
});

test('every answer of a whole random study is there, and no cell is without a column', () => {
  const plan = aPlan({
    prototypes: 3,
    units: 2,
    sessions: 2,
    noPreference: { offered: true, rule: 'drop' },
    audiences: [['home', 4]],
  });
  const { record, lines } = randomStudy(plan, { seed: 3, spoilt: 0.2, leave: 0.05 });
  const story = storyOf(record.ledger);
  const rows = parsed(answersCsv(story, toldTrials(story)));
  expect(rows.length - 1).toBe(lines.filter(([, kind]) => kind === 'answered').length);
  expect(new Set(rows.map((row) => row.length))).toEqual(new Set([dictionaryOf(plan).length]));
});

test('each answer names its entry in the record, the plan and the program; nothing in the table is without a meaning', () => {
  const ledger = chained(handLines());
  const story = storyOf(ledger);
  const rows = tableOf(answersCsv(story, toldTrials(story)));
  for (const row of rows) {
    const entry = ledger[Number(row.entry) - 1];
    expect([entry?.kind, entry?.hash, entry?.at]).toEqual(['answered', row.entry_hash, row.answered_at]);
    expect(row.plan_hash).toBe(story.planHash);
    expect(row.tool).toMatch(/^Fair Hearing \d/);
  }
  expect(new Set(rows.map(({ entry }) => entry)).size).toBe(rows.length);
  for (const { column, meaning } of tableOf(dictionaryCsv(handPlan))) {
    expect([column, (meaning ?? '').length > 3]).toEqual([column, true]);
  }
});

test('names of prototypes, units, listeners’ audiences and the study can’t become formulas; a negative value stays a number', () => {
  const plan = {
    ...handPlan,
    title: '=cmd|x!A1',
    prototypes: handPlan.prototypes.map((one, i) => ({ ...one, name: ['=1+1', '+2', '-3'][i] ?? '@4' })),
    audiences: handPlan.audiences.map((one) => ({ ...one, name: '@home' })),
  };
  const rows = tableOf(csvOf(plan));
  const cells = rows.flatMap((row) => Object.entries(row));
  const started = cells.filter(([column, cell]) => /^[=+\-@\t\r]/.test(cell) && column !== 'value');
  expect(started).toEqual([]);
  expect(rows.some(({ presentation_1: name }) => name === "'=1+1")).toBe(true);
  expect(new Set(rows.map(({ value }) => value))).toEqual(new Set(['-1', '0', '1']));
});
