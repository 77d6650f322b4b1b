import type { Plan } from '../../shared/plan';
import type { Due } from '../sittings-due';
import { comingMinute, lastMinute } from '../time-words';
import { Refusal } from '../web/refusal';
import { unit } from './panel';

/**
 * At the door everybody was due; until the seat the span may end, or a clock be set back. No rule of a plan lets the
 * desk decide otherwise, so it is told who can't sit, why, and what to do about the phone, which still waits for a seat.
 * @throws Refusal for whoever may not begin a sitting now
 */
export function refuseUndue(alias: string, { state, from, until }: Due, sessions: Plan['sessions'], now: Date): void {
  if (state === 'due' || state === 'overdue') return;
  const got = now.toISOString();
  if (state === 'too-early') {
    const begin = from ?? now;
    throw new Refusal(
      'too-early',
      `${alias} can’t sit before ${comingMinute(begin)}: by the plan there is a rest of at least ${unit(sessions.minimumGapHours, 'hour')} between two sittings. If they don’t wait, turn them away, so that their phone says so.`,
      { path: 'sitting', allowed: `from ${begin.toISOString()}`, got },
    );
  }
  const why = until
    ? `${alias} had to begin by ${lastMinute(until)}: by the plan the last sitting begins within ${unit(sessions.maximumSpanDays, 'day')} of the first.`
    : `${alias} has no sitting left.`;
  throw new Refusal('conflict', `${why} Turn them away, so that their phone says so.`, {
    path: 'sitting',
    ...(until ? { allowed: `until ${until.toISOString()}` } : {}),
    got,
  });
}
