import { handsOver, type Plan, type PlanPrototype } from '../../shared/plan';
import { type AnswerRow, unitNamed } from './answer-row';
import { methodIn, mostPresentations, valuesEach } from './asked';
import { list, named } from './names';
import { possibleSamples } from './possible-samples';
import type { TrialRows } from './trial-rows';

/** What a trial was about, in the order of hearing. */
export interface Samples {
  prototypes: string[];
  /** None where renders were played. */
  units: string[];
  /** Null where the file has none. */
  codes: (string | null)[];
}

/** Cells that say the same in every row of a trial. */
const same = ['practice', 'control', 'void', 'excerpt', 'answer', 'picked'] as const;

/** The samples of a trial, or null where they can't be told; what is wrong is told by its rows. */
export function samplesOf({ rows }: TrialRows, plan: Plan): Samples | null {
  const [first, ...others] = rows;
  for (const row of others) disagreement(first, row);
  const found = first.presentations.length > 0 ? spelled(first, plan) : assembled(rows, plan);
  if (!found || found.prototypes.includes('')) return null;
  return rightNumber(first, found, plan) && possibleSamples(first, found, plan) && codesApart(first, found)
    ? found
    : null;
}

function disagreement(first: AnswerRow, row: AnswerRow): void {
  const differs = (column: string) =>
    row.cells.wrong(column, 'conflict', `It says otherwise than row ${first.row}, which is of the same trial.`, {
      allowed: first.cells.text(column),
      got: row.cells.text(column),
    });
  for (const column of same) if (row.cells.text(column) !== first.cells.text(column)) differs(column);
  const most = Math.max(first.presentations.length, row.presentations.length);
  for (let place = 0; place < most; place++) {
    if (row.presentations[place] !== first.presentations[place]) differs(`presentation_${place + 1}`);
    else if (row.units[place] !== first.units[place]) differs(`unit_${place + 1}`);
    else if (row.codes[place] !== first.codes[place]) differs(`code_${place + 1}`);
  }
}

/** An answer by a code names one sample. */
function codesApart(row: AnswerRow, { prototypes, units, codes }: Samples): boolean {
  const at = codes.findIndex((code, place) => {
    const before = code === null ? -1 : codes.indexOf(code);
    return before >= 0 && (prototypes[before] !== prototypes[place] || units[before] !== units[place]);
  });
  if (at < 0) return true;
  const column = row.presentations.length > 0 ? `code_${at + 1}` : 'code';
  row.cells.wrong(column, 'conflict', `Another sample of this trial has the code ${codes[at]}, too.`, {
    allowed: 'a code for each sample',
    got: String(codes[at]),
  });
  return false;
}

/** Columns say what was heard. */
function spelled(row: AnswerRow, plan: Plan): Samples {
  return {
    prototypes: row.presentations,
    units: row.presentations.flatMap((id, place) =>
      unitIn(row, id, row.units[place] ?? null, `unit_${place + 1}`, plan),
    ),
    codes: row.codes,
  };
}

/** Rows say it, each of its own sample. */
function assembled(rows: readonly AnswerRow[], plan: Plan): Samples | null {
  const { form } = methodIn(plan);
  const [first] = rows;
  if (!first) return null;
  if (first.practice && !valuesEach(plan)) return { prototypes: [], units: [], codes: [] };
  if (!valuesEach(plan)) {
    first.cells.wrong('presentation_1', 'missing', 'It is empty. Name the prototype that was heard.', {
      allowed: list(plan.prototypes),
    });
    return null;
  }
  const about = new Map<string, { row: AnswerRow; place: number | null }>();
  for (const row of rows) {
    const typed = row.cells.text('prototype');
    const prototype = named(typed, plan.prototypes);
    if (!prototype) {
      const what =
        typed === '' ? 'It is empty, and no column says what was heard.' : `The plan has no prototype “${typed}”.`;
      row.cells.wrong('prototype', typed === '' ? 'missing' : 'not-a-choice', what, {
        allowed: list(plan.prototypes),
        ...(typed === '' ? {} : { got: typed }),
      });
      return null;
    }
    if (!about.has(prototype.id))
      about.set(prototype.id, { row, place: row.cells.whole('place', 1, mostPresentations(plan)) });
  }
  const own = [...about].sort(([, a], [, b]) => (a.place ?? 0) - (b.place ?? 0));
  const samples = own.map(([prototype, { row }]) => ({ prototype, row }));
  // What everybody is told is the reference has no row.
  if (form.kind === 'grades' && form.reference !== null) {
    const { reference } = plan.method.spec as { reference?: string };
    if (reference !== undefined) samples.splice(form.reference, 0, { prototype: reference, row: first });
  }
  return {
    prototypes: samples.map(({ prototype }) => prototype),
    units: samples.flatMap(({ prototype, row }) => {
      const typed = row.cells.text('unit');
      return unitIn(
        row,
        prototype,
        typed === '' ? null : unitNamed(row.cells, 'unit', typed, prototype, plan),
        'unit',
        plan,
      );
    }),
    codes: samples.map(({ row }) => row.cells.text('code') || null),
  };
}

function unitIn(row: AnswerRow, prototype: string, said: string | null, column: string, plan: Plan): string[] {
  if (!handsOver(plan)) return [];
  const own: PlanPrototype | undefined = plan.prototypes.find(({ id }) => id === prototype);
  if (said !== null || !own) return [said ?? ''];
  const [only] = own.units;
  if (only && own.units.length === 1) return [only.id];
  // A wrong serial has been told already.
  if (row.cells.text(column) === '') {
    row.cells.wrong(column, 'missing', `It is empty, and ${own.name} has several units. Say which, or plan one.`, {
      allowed: own.units.map(({ serial }) => serial).join(', '),
    });
  }
  return [''];
}

function rightNumber(row: AnswerRow, { prototypes, units }: Samples, plan: Plan): boolean {
  const { form, protocol, spec } = methodIn(plan);
  const most = row.practice ? Math.max(form.presentations, protocol.practicePresentations(spec)) : form.presentations;
  const there = prototypes.length;
  if (there > most || (!row.practice && there < most)) {
    const wants = most === 1 ? 'one sample' : `${most} samples`;
    const allowed = row.practice ? `up to ${most}` : String(most);
    const column = row.presentations.length === 0 ? 'prototype' : `presentation_${Math.min(there + 1, most)}`;
    row.cells.wrong(
      column,
      'wrong-number',
      `A trial of this plan has ${wants}, and here ${there === 1 ? 'is one' : `are ${there}`}.`,
      {
        allowed,
        got: String(there),
      },
    );
    return false;
  }
  return !units.includes('');
}
