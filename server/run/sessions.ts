import { z } from 'zod';
import type { SessionId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { deskSay } from '../../shared/words/desk';
import { blindPlanOf } from '../blind-plan';
import { sheetOutdatedAt } from '../blinding/outdated-sheet';
import type { Command, Context } from '../command';
import { newId, newJoinCode } from '../ids';
import { coverLevelsBlindly, deviationLimits, type Uncovered, uncoveredBlind } from '../level-problems';
import { sessionsHeld } from '../live/due';
import { endSession } from '../live/end-session';
import { losesMissed } from '../sittings-due';
import { soundStands } from '../sound-ready';
import { currentSession, insertSession, sessionsOf, updateSession } from '../store/sessions';
import { bumpSittings, sittingsOf } from '../store/sittings';
import { updateStudy } from '../store/studies';
import type { SessionRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/** A session: a date on which the panel sits. A study has at most one open at a time. */

const nothing = z.strictObject({});
const opening = z.strictObject({
  /** Why it opens though levels aren't as they must be; counts only where they aren't. */
  deviation: z.string().trim().max(deviationLimits.max).default(''),
});

/** Where a session that was missed is lost, a study holds as many as it was planned with; else null. */
export function allHeld({ sessions }: Pick<Plan, 'sessions'>, held: number): string | null {
  if (!losesMissed(sessions) || held < sessions.count) return null;
  return deskSay('openable.all-held', { count: sessions.count });
}

/** What of the levels nobody has signed for; of units only how many there are. */
export const uncoveredWords = ({ count, loud }: Uncovered): string[] => [
  ...(count === 0 ? [] : [count === 1 ? deskSay('openable.levels-1') : deskSay('openable.levels', { count })]),
  ...(loud ? [deskSay('openable.loud')] : []),
];

export const openSession: Command<z.output<typeof opening>> = {
  name: 'open-session',
  does: 'open a session',
  states: ['locked', 'running'],
  who: 'staff',
  input: opening,
  labels: { deviation: 'The reason' },
  async run(context, { deviation }) {
    const { tx, study, at } = context;
    const sessions = await sessionsOf(tx, study.id);
    if (sessions.some((session) => session.state !== 'closed')) {
      throw new Refusal('conflict', 'A session is open already. Close it before you open the next.', {
        path: 'session',
      });
    }
    const refused = allHeld(blindPlanOf(study), await sessionsHeld(tx, study.id));
    if (refused) throw new Refusal('conflict', refused, { path: 'session' });
    const number = sessions.length + 1;
    // A code of the old sheet may be one of the new, and stand for another sample.
    if ((await sheetOutdatedAt(tx, study.id, number)) !== null) {
      throw new Refusal('conflict', deskSay('openable.outdated', { number }), { path: 'session' });
    }
    if (!(await soundStands(tx, study))) {
      throw new Refusal('conflict', deskSay('openable.sound'), { path: 'session' });
    }
    const uncovered = uncoveredWords(await uncoveredBlind(tx, study, at));
    if (uncovered.length > 0) await coverLevelsBlindly(context, deviation, uncovered.join(' '));
    const row: SessionRow = {
      id: newId<SessionId>(at),
      study_id: study.id,
      number,
      join_code: newJoinCode(),
      state: 'open',
      opened_at: at.toISOString(),
      closed_at: null,
    };
    await insertSession(tx, row);
    await updateStudy(tx, study.id, { state: 'running' });
    await context.record('session-opened', {
      session: row.id,
      number: row.number,
      handling: blindPlanOf(study).handling,
    });
  },
};

export const pauseSession: Command<z.infer<typeof nothing>> = {
  name: 'pause',
  does: 'pause a session',
  states: ['running'],
  who: 'staff',
  input: nothing,
  run: (context) => switchTo(context, 'paused', 'session-paused'),
};

export const resumeSession: Command<z.infer<typeof nothing>> = {
  name: 'resume',
  does: 'go on with a session',
  states: ['running'],
  who: 'staff',
  input: nothing,
  run: (context) => switchTo(context, 'open', 'session-resumed'),
};

async function switchTo(context: Context, state: 'open' | 'paused', kind: string): Promise<void> {
  const { tx } = context;
  const session = await openOne(context);
  // A second tap changes nothing.
  if (session.state === state) return;
  await updateSession(tx, session.id, { state });
  await bumpSittings(tx, session.id);
  await context.record(kind, { session: session.id });
  for (const sitting of await sittingsOf(tx, session.id)) context.touch(sitting.id);
}

/** The session that is not closed. @throws Refusal when there is none. */
export async function openOne(context: Context): Promise<SessionRow> {
  const session = await currentSession(context.tx, context.study.id);
  if (!session) throw new Refusal('wrong-state', 'No session is open. Open one first.', { path: 'session' });
  return session;
}

export const closeSession: Command<z.infer<typeof nothing>> = {
  name: 'close-session',
  does: 'close a session',
  states: ['running'],
  who: 'staff',
  input: nothing,
  async run(context) {
    await endSession(context, await openOne(context));
  },
};
