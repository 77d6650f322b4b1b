import type { Plan } from '../../shared/plan';
import type { AnswerRow } from './answer-row';
import { valuesAsked, valuesEach } from './asked';

/** The rows of one trial, in the order of the file. */
export interface TrialRows {
  rows: [AnswerRow, ...AnswerRow[]];
  /** Null where no column says it. */
  trial: number | null;
}

/**
 * Rows put together into trials. With a number of the trial that tells; without one a row belongs to the first trial of
 * its sitting about the same samples that has no such value yet, whatever the order of the rows.
 */
export function trialsOf(rows: readonly AnswerRow[], plan: Plan): TrialRows[] {
  const several = valuesAsked(plan).length > 1 || valuesEach(plan);
  const trials: TrialRows[] = [];
  const numbered = new Map<string, TrialRows>();
  const open = new Map<string, { trial: TrialRows; values: Set<string> }[]>();
  for (const row of rows) {
    const sitting = [row.audience, row.listener, row.session].join('\u0000');
    if (row.trial !== null) {
      const key = `${sitting}\u0000${row.trial}`;
      const known = numbered.get(key);
      if (known) known.rows.push(row);
      else {
        const made: TrialRows = { rows: [row], trial: row.trial };
        numbered.set(key, made);
        trials.push(made);
      }
      continue;
    }
    const key = [sitting, sampleOf(row), row.excerpt ?? '', row.practice, row.control ?? ''].join('\u0000');
    const value = several ? aboutOf(row) : '';
    const there = open.get(key) ?? [];
    open.set(key, there);
    const lacking = several ? there.find(({ values }) => !values.has(value)) : undefined;
    if (lacking) {
      lacking.values.add(value);
      lacking.trial.rows.push(row);
    } else {
      const made: TrialRows = { rows: [row], trial: null };
      there.push({ trial: made, values: new Set([value]) });
      trials.push(made);
    }
  }
  return trials;
}

const sampleOf = ({ presentations, units, codes }: AnswerRow): string =>
  [...presentations, ...units.map((one) => one ?? ''), ...codes.map((one) => one ?? '')].join('\u0001');

/** What a row has a value of: which scale, of which sample. */
const aboutOf = ({ cells }: AnswerRow): string =>
  ['scale', 'place', 'prototype', 'code'].map((column) => cells.text(column).toLowerCase()).join('\u0001');
