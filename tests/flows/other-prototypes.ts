import { join } from 'node:path';
import Database from 'better-sqlite3';
import { newPartId } from '../../server/ids';
import type { Plan } from '../../shared/plan';
import { copyOf } from '../support/driver';

/** The same folder with other prototypes in the same places: from Z to A, longer, and with other ids. */
export function withOthers(folder: string): string {
  const copy = copyOf(folder);
  const database = new Database(join(copy, 'fair-hearing.sqlite'));
  const row = database.prepare('SELECT id, plan FROM study').get() as { id: string; plan: string };
  const plan = JSON.parse(row.plan) as Plan;
  const ids = new Map(plan.prototypes.map(({ id }) => [id, newPartId()]));
  const { reference } = plan.method.spec as { reference?: string };
  const unitIds = new Map(plan.prototypes.flatMap(({ units }) => units.map(({ id }) => [id, newPartId()])));
  const other: Plan = {
    ...plan,
    ...(reference === undefined
      ? {}
      : {
          method: {
            ...plan.method,
            spec: { ...(plan.method.spec as object), reference: ids.get(reference) ?? reference },
          },
        }),
    prototypes: plan.prototypes.map(({ id, units, anchor }, at) => ({
      ...(anchor ? { anchor } : {}),
      id: ids.get(id) ?? '',
      name: `${'ZYX'[at]}ebrawood with a second damper ${'x'.repeat(at * 7)}`,
      units: units.map(({ id: was }, unit) => ({
        id: unitIds.get(was) ?? '',
        serial: `${9 - at}-${'0'.repeat(at + 1)}${9 - unit}`,
        note: `${'long note '.repeat(4 - at)}`.trim(),
      })),
    })),
    ...(plan.closingQuestion
      ? {
          closingQuestion: {
            labels: plan.closingQuestion.labels.map((label) => ({
              ...label,
              prototype: ids.get(label.prototype) ?? '',
            })),
          },
        }
      : {}),
    primary: {
      ...plan.primary,
      first: ids.get(plan.primary.first) ?? '',
      second: ids.get(plan.primary.second) ?? '',
    },
  };
  database.prepare('UPDATE study SET plan = ? WHERE id = ?').run(JSON.stringify(other), row.id);
  // Somebody signed that the same units aren't measured; the copy is made past the guard, which the server never can.
  database.exec('DROP TRIGGER ledger_no_update');
  const signed = database.prepare("SELECT seq, body FROM ledger WHERE kind = 'level-deviation'").all();
  for (const { seq, body } of signed as { seq: number; body: string }[]) {
    const moved = body.replace(/[A-Za-z0-9_-]+/g, (id) => unitIds.get(id) ?? id);
    database.prepare('UPDATE ledger SET body = ? WHERE seq = ?').run(moved, seq);
  }
  database.close();
  return copy;
}
