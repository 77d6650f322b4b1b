import { type Plan, planLimits } from '../../shared/plan';
import type { AnswerRow } from './answer-row';
import type { RowProblems } from './problems';

/** A listener of the file: a number within the audience. The name that the file has goes no further. */
export interface SeatTaken {
  audience: string;
  ordinal: number;
}

export interface Seats {
  seatOf(row: AnswerRow): SeatTaken | undefined;
  /** Which of the listener's own sittings the row is of. */
  sittingOf(row: AnswerRow): number;
}

const keyOf = ({ audience, listener }: AnswerRow): string => `${audience}\u0000${listener}`;

/**
 * Numbers listeners in the order in which they come, in each audience by itself; where all of an audience are called by
 * its name and a number, as our own export calls them, they keep that number.
 */
export function seatsOf(rows: readonly AnswerRow[], plan: Plan, problems: RowProblems): Seats {
  const seats = new Map<string, SeatTaken>();
  for (const { id, name } of plan.audiences) {
    const own = rows.filter(({ audience }) => audience === id);
    const listeners = [...new Set(own.map(({ listener }) => listener))];
    const most = planLimits.listeners.max;
    if (listeners.length > most) {
      const at = own.find(({ listener }) => listener === listeners[most]);
      problems.add(at?.row ?? null, 'listener', 'too-many', `${name} has more than ${most} listeners.`, {
        allowed: `at most ${most}`,
        got: String(listeners.length),
      });
    }
    const numbers = listeners.map((listener) => numberIn(listener, name));
    const kept = numbers.every((number) => number !== null) && new Set(numbers).size === numbers.length;
    for (const [i, listener] of listeners.entries()) {
      seats.set(`${id}\u0000${listener}`, { audience: id, ordinal: kept ? (numbers[i] as number) : i + 1 });
    }
  }
  const sittings = sittingsOf(rows);
  return {
    seatOf: (row) => seats.get(keyOf(row)),
    sittingOf: (row) => sittings.get(`${keyOf(row)}\u0000${row.session}`) ?? 1,
  };
}

/** “Home 3” is the third of Home. */
function numberIn(listener: string, audience: string): number | null {
  if (!listener.startsWith(`${audience} `)) return null;
  const number = listener.slice(audience.length + 1);
  return /^[1-9]\d{0,3}$/.test(number) ? Number(number) : null;
}

/** As the file has them, or counted in the order of sessions. */
function sittingsOf(rows: readonly AnswerRow[]): Map<string, number> {
  const listeners = new Map<string, Map<number, AnswerRow>>();
  for (const row of rows) {
    const own = listeners.get(keyOf(row)) ?? new Map<number, AnswerRow>();
    listeners.set(keyOf(row), own);
    const first = own.get(row.session);
    if (!first) own.set(row.session, row);
    else if (first.sitting !== row.sitting) {
      row.cells.wrong('sitting', 'conflict', `It says otherwise than row ${first.row}, which is of the same session.`, {
        allowed: String(first.sitting ?? ''),
        got: String(row.sitting ?? ''),
      });
    }
  }
  const found = new Map<string, number>();
  for (const [listener, own] of listeners) {
    let before = 0;
    for (const [session, row] of [...own].sort(([a], [b]) => a - b)) {
      const sitting = row.sitting ?? before + 1;
      if (sitting <= before) {
        row.cells.wrong('sitting', 'conflict', `It must be greater than ${before}, that of an earlier session.`, {
          allowed: `${before + 1} or more`,
          got: String(sitting),
        });
      }
      found.set(`${listener}\u0000${session}`, sitting);
      before = sitting;
    }
  }
  return found;
}
