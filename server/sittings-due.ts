import type { Plan } from '../shared/plan';

/**
 * Sittings over weeks: may a listener sit now, should they have by now, or is it over? Pure. Everything is counted in
 * hours of UTC, so a clock that is put forward or back in spring and autumn shortens no rest.
 */

/** A sitting that got as far as a seat. Times are ISO 8601 in UTC. */
export interface Sat {
  session: string;
  seatedAt: string;
  /** Null while it is under way, or when the seat was given up in a session that is still open. */
  endedAt: string | null;
}

/** A session of the study in which somebody took a seat: one that nobody sat in was not held, and nobody missed it. */
export interface Held {
  session: string;
  /** Null while it is open. */
  closedAt: string | null;
}

export interface Attendance {
  sessions: Plan['sessions'];
  /** Sittings in this study, in any order. */
  had: readonly Sat[];
  /** Sittings in the studies that this one goes on from: the rest after them counts, their number doesn't. */
  before: readonly Sat[];
  held: readonly Held[];
  /** When this listener joined the study; null for somebody who hasn't. */
  joinedAt: string | null;
}

export const dueStates = ['too-early', 'due', 'overdue', 'over', 'complete'] as const;
/**
 * `too-early`: the rest since the last sitting isn't over. `due`: may come. `overdue`: may come, and a session was held
 * without them since they could, or what is left no longer fits into the span. `over`: sittings are missing and none
 * is possible any more. `complete`: had them all.
 */
export type DueState = (typeof dueStates)[number];

export interface Due {
  state: DueState;
  /** From when the next sitting is possible; null when it always was, and when there is none to come. */
  from: Date | null;
  /**
   * Until when the last sitting must have begun; null when the plan sets no end, or the first one hasn't begun, or it
   * was over before.
   */
  until: Date | null;
  /** Sittings still to come, as far as the plan lets them. */
  left: number;
}

const hour = 3_600_000;
const day = 24 * hour;

export function sittingsDue({ sessions, had, before, held, joinedAt }: Attendance, now: Date): Due {
  const at = now.getTime();
  const gap = sessions.minimumGapHours * hour;
  const begun = had.map(({ seatedAt }) => Date.parse(seatedAt));
  const until =
    had.length > 0 && sessions.maximumSpanDays > 0 ? Math.min(...begun) + sessions.maximumSpanDays * day : null;
  const end = until === null ? null : new Date(until);
  if (had.length >= sessions.count) return { state: 'complete', from: null, until: end, left: 0 };

  const rests = [...had, ...before].map(({ seatedAt, endedAt }) => Date.parse(endedAt ?? seatedAt) + gap);
  const from = rests.length > 0 ? Math.max(...rests) : null;
  const left = sittingsLeft({ sessions, had, held });
  const pastEnd = until !== null && (at > until || (from !== null && from > until));
  if (left === 0 || pastEnd) return { state: 'over', from: null, until: pastEnd ? end : null, left: 0 };

  const due = { from: from === null ? null : new Date(from), until: end, left };
  if (from !== null && at < from) return { state: 'too-early', ...due };
  const since = Math.max(from ?? Number.NEGATIVE_INFINITY, joinedAt === null ? at : Date.parse(joinedAt));
  const missed = held.some(
    ({ session, closedAt }) =>
      closedAt !== null && Date.parse(closedAt) > since && !had.some((sitting) => sitting.session === session),
  );
  const tooTight = until !== null && at + (left - 1) * gap > until;
  return { state: missed || tooTight ? 'overdue' : 'due', ...due };
}

/** Whether a session missed is lost. Of one session alone nothing is asked on the plan page, and nothing can be lost. */
export const losesMissed = ({ count, missed }: Plan['sessions']): boolean => missed === 'lost' && count > 1;

/** Made up for, a missed session costs nothing. Lost, it takes a sitting with it, as the study has no more sessions. */
function sittingsLeft({ sessions, had, held }: Pick<Attendance, 'sessions' | 'had' | 'held'>): number {
  if (!losesMissed(sessions)) return sessions.count - had.length;
  const gone = held.filter(
    ({ session, closedAt }) => closedAt !== null || had.some((sitting) => sitting.session === session),
  );
  return Math.max(0, sessions.count - gone.length);
}
