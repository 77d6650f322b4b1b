import { createHash } from 'node:crypto';
import type { Plan } from '../../shared/plan';
import { nearestOf } from '../../stats/nearest-name';
import { seededRandom } from '../../stats/seeded-random';
import { type AnswerRow, answerRow } from './answer-row';
import { answerColumns, methodIn, mostPresentations } from './asked';
import { type BroughtTrial, broughtTrials } from './brought-trials';
import { Cells } from './cells';
import { type RowProblem, RowProblems } from './problems';
import { readTable } from './table';
import { textOf } from './text';

/** A file of answers that could be read as a whole. */
export interface Brought {
  sha256: string;
  /** Rows that hold something, without the headings. */
  rows: number;
  trials: BroughtTrial[];
  /** Headings of the file that nothing was read from. */
  ignored: string[];
}

export type ReadAnswers = { brought: Brought; problems: [] } | { brought: null; problems: RowProblem[] };

/** Bytes of the largest file that is read. */
export const mostBytes = 20_000_000;

/** Columns of our own export from which nothing is read: they follow from the others, or say nothing of the answer. */
const following = [
  'study',
  'method',
  'started_at',
  'entry',
  'entry_hash',
  'plan_hash',
  'tool',
  'unit',
  'code',
  'prototype',
  'place',
  'late',
  'touched_ms',
  'output_rate',
  'scale',
  'value',
  'answer',
  'picked',
];

/**
 * Reads a file of answers to a plan (ANSWERS csv, `shared/formats`), or says all that is wrong with it. Deterministic: the
 * same bytes and the same plan give the same answers.
 */
export function readAnswers(bytes: Uint8Array, plan: Plan): ReadAnswers {
  const sha256 = createHash('sha256').update(bytes).digest('hex');
  const problems = new RowProblems();
  const refused = (): ReadAnswers => ({ brought: null, problems: problems.told() });
  if (bytes.length > mostBytes) {
    problems.add(
      null,
      null,
      'too-large',
      `This file is larger than ${mostBytes / 1e6} MB, which is the most that is read.`,
    );
    return refused();
  }
  const { table, fault } = readTable(textOf(bytes));
  if (fault) {
    problems.add(fault.row, null, fault.code, fault.message);
    return refused();
  }
  const { columns, ignored } = columnsOf(table.header, plan, problems);
  if (table.rows.length === 0 && problems.none)
    problems.add(null, null, 'empty', 'This file holds no answers: there is no row below the headings.');
  if (!problems.none) return refused();
  const rows: AnswerRow[] = [];
  for (const { row, cells } of table.rows) {
    if (cells.length > table.header.length && cells.slice(table.header.length).some((cell) => cell.trim() !== '')) {
      problems.add(
        row,
        null,
        'too-many',
        `It has more cells than there are headings. Is a comma or a semicolon inside a cell without quotation marks?`,
      );
      continue;
    }
    const named = new Map(cells.flatMap((cell, i): [string, string][] => (columns[i] ? [[columns[i], cell]] : [])));
    rows.push(answerRow(new Cells(row, named, problems), plan));
  }
  otherMethods(rows, plan);
  const trials = broughtTrials(rows, plan, problems, (...path) => seededRandom([sha256, ...path].join('\u0000')));
  if (!problems.none) return refused();
  return { brought: { sha256, rows: table.rows.length, trials, ignored }, problems: [] };
}

/** Headings as columns of ours, by place; what is none of them is left alone, unless it looks like a slip of the finger. */
function columnsOf(
  header: readonly string[],
  plan: Plan,
  problems: RowProblems,
): { columns: (string | null)[]; ignored: string[] } {
  const known = answerColumns(plan);
  const numbered = Array.from({ length: mostPresentations(plan) }, (_, i) => i + 1);
  const all = [
    ...known.map(({ name }) => name),
    ...following,
    ...numbered.flatMap((place) => [`file_${place}`, `heard_ms_${place}`, `unit_${place}`]),
    'excerpt',
  ];
  const typed = header.map((cell) =>
    cell
      .normalize('NFC')
      .replace(/^\uFEFF/, '')
      .trim(),
  );
  const columns = typed.map((cell) => {
    const plain = cell.toLowerCase().replace(/[\s-]+/g, '_');
    return all.includes(plain) ? plain : null;
  });
  for (const [at, column] of columns.entries()) {
    if (column !== null && columns.indexOf(column) !== at) {
      problems.add(1, column, 'repeated', 'This heading stands there twice.');
    }
  }
  const there = new Set(columns);
  const sample = there.has('prototype') && known.some(({ name }) => name === 'prototype');
  for (const { name, needed, meaning } of known) {
    if (!needed || there.has(name)) continue;
    // Of samples that each have rows, the rows may name them.
    if (name.startsWith('presentation_') && sample) continue;
    const near = nearby(
      name,
      typed.filter((_, at) => columns[at] === null),
    );
    const slip = near === null ? '' : ` Is it “${near}”?`;
    problems.add(1, name, 'missing', `There is no such column.${slip} ${meaning}.`, {
      allowed: all.filter((one, i) => all.indexOf(one) === i).join(', '),
      ...(near === null ? {} : { got: near }),
    });
  }
  const askedFor = ['answer', 'picked', 'value'];
  if (
    !askedFor.some((name) => there.has(name)) &&
    !known.some(({ name, needed }) => needed && askedFor.includes(name))
  ) {
    problems.add(1, 'answer', 'missing', 'There is neither this column nor “value”: nothing says what was answered.', {
      allowed: askedFor.join(', '),
    });
  }
  const ignored = typed.filter((cell, at) => columns[at] === null && cell !== '');
  for (const cell of ignored) {
    const near = nearby(
      cell,
      all.filter((name) => !there.has(name)),
    );
    if (near === null || problems.told().some(({ column }) => column === near)) continue;
    problems.add(
      1,
      cell,
      'unknown-column',
      `There is no column of that name. Is it “${near}”? If it is something else, give it another name.`,
      { allowed: near, got: cell },
    );
  }
  return { columns, ignored };
}

/** One or two slips away, and not a short word that happens to be near. */
function nearby(typed: string, names: readonly string[]): string | null {
  const best = nearestOf(typed, names);
  const most = best === null || best.name.length < 5 ? 0 : best.name.length > 6 ? 2 : 1;
  return best !== null && best.slips <= most ? best.name : null;
}

/** A file of another method's answers is none of this plan's; said once. */
function otherMethods(rows: readonly AnswerRow[], plan: Plan): void {
  const { protocol } = methodIn(plan);
  const odd = rows.find(({ cells }) => !['', protocol.id].includes(cells.text('method')));
  odd?.cells.wrong(
    'method',
    'not-this-method',
    `The answers are of another method than the plan’s, which is ${protocol.id}.`,
    {
      allowed: protocol.id,
      got: odd.cells.text('method'),
    },
  );
}
