import type { AnswerRow } from './answer-row';
import type { AskedValue } from './asked';
import { list, named } from './names';
import type { TrialRows } from './trial-rows';

/** The scale that a row has a value of. */
export function scaleOf({ cells }: AnswerRow, asked: readonly AskedValue[]): AskedValue | null {
  const typed = cells.text('scale');
  const [only] = asked;
  if (typed === '' && only && asked.length === 1) return only;
  const found = named(typed, asked);
  if (found) return found;
  const what = typed === '' ? 'It is empty. Say what was rated.' : `The plan has no scale “${typed}”.`;
  cells.wrong('scale', typed === '' ? 'missing' : 'not-a-choice', what, {
    allowed: list(asked),
    ...(typed === '' ? {} : { got: typed }),
  });
  return null;
}

/** As it is stored. */
export function valueOn({ cells }: AnswerRow, { name, from, to, per }: AskedValue): number | null {
  const value = cells.number('value');
  const allowed = `${from} to ${to}${per === 1 ? ', whole numbers' : ', one decimal'}`;
  if (value === null) {
    if (cells.text('value') === '')
      cells.wrong('value', 'missing', `It is empty. A trial without it can’t be counted: take its rows out.`, {
        allowed,
      });
    return null;
  }
  const stored = Number((value * per).toFixed(6));
  if (Number.isInteger(stored) && value >= from && value <= to) return stored + 0;
  cells.wrong('value', 'out-of-range', `${value} is no point of ${name}.`, { allowed, got: String(value) });
  return null;
}

/** Whether a trial has that value already. */
export function again(row: AnswerRow, { name }: AskedValue, seen: Map<string, number>, key: string): boolean {
  const before = seen.get(key);
  if (before === undefined) seen.set(key, row.row);
  else row.cells.wrong(null, 'repeated', `It repeats row ${before}: the same trial, sample and ${name}.`);
  return before !== undefined;
}

/** Half of an answer is none. */
export function hasAll(
  { rows: [first] }: TrialRows,
  due: readonly { key: string; name: string }[],
  seen: ReadonlyMap<string, number>,
): boolean {
  const missing = due.filter(({ key }) => !seen.has(key));
  if (missing.length === 0) return true;
  first.cells.wrong(
    'scale',
    'missing',
    `This trial has no value for ${list(missing)}. A trial counts with all of them: add it, or take its rows out.`,
    { allowed: list(due) },
  );
  return false;
}
