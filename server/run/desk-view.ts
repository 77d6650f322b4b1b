import type { StaffId } from '../../shared/brands';
import { ledgerBodies } from '../blinding/ledger';
import { isSingleBlind, planOf, servingOf } from '../command';
import { codesOf } from '../live/advance';
import { freeSeat } from '../live/free-seat';
import { qrSvg } from '../live/qr';
import { mishapWords } from '../mishap-words';
import type { Parts } from '../parts';
import { sessionsOf } from '../store/sessions';
import { type SittingWithWho, sittingsOf } from '../store/sittings';
import { openedSheet, sheetOpenings } from '../store/studies';
import type { SessionRow, StudyRow, TrialRow } from '../store/tables';
import { trialsOfSession } from '../store/trials';
import { deskMinute } from '../time-words';
import { handsOf, nowOf, progressOf, type SeatNow, touchedTrial } from './desk-hands';
import { incidentCategories, voidReasons } from './mishaps';
import type { Desk, DeskSession } from './view-models';

/** The desk as one person may see it. Codes and progress; what a sample is or what was answered can't be said here. */
export async function deskView(
  parts: Parts,
  study: StudyRow,
  staff: StaffId,
  csrf: string,
  addresses: { joinBase: string; others: string[] },
): Promise<Desk> {
  const { db } = parts.store;
  const sessions = await sessionsOf(db, study.id);
  const open = sessions.find((session) => session.state !== 'closed');
  const barred = !isSingleBlind(study) && (await openedSheet(db, study.id, staff));
  const closed = [];
  for (const session of sessions.filter((one) => one.state === 'closed')) {
    const sittings = await sittingsOf(db, session.id);
    closed.push({
      number: session.number,
      openedAt: deskMinute(session.opened_at),
      closedAt: deskMinute(session.closed_at ?? ''),
      finished: sittings.filter((sitting) => sitting.state === 'finished').length,
      cut: sittings.filter((sitting) => sitting.state !== 'finished').length,
    });
  }
  const incidents = await ledgerBodies(db, study.id, ['incident']);
  return {
    base: `/studies/${study.id}`,
    csrf,
    version: study.version,
    openable: await openable(parts, study, sessions),
    barred: barred
      ? {
          sentence:
            'You have opened the preparation sheet of this study, so its desk is not for you: a look or a word could tell. Let somebody else run it.',
        }
      : null,
    session: open && !barred ? await sessionView(parts, study, open, addresses) : null,
    closedSessions: closed,
    incidents: incidents.map(({ at, body }) => ({
      at: deskMinute(at),
      category: mishapWords(String(body.category)),
      text: String(body.text ?? ''),
      seat: typeof body.seat === 'number' ? body.seat : null,
    })),
  };
}

async function openable(parts: Parts, study: StudyRow, sessions: readonly SessionRow[]): Promise<Desk['openable']> {
  const number = sessions.length + 1;
  const no = (reason: string) => ({ allowed: false, number, reason });
  if (study.state === 'draft') return no('Lock the plan first. Then a session can be opened.');
  if (study.state !== 'locked' && study.state !== 'running') return no('This study is closed: no new sessions.');
  if (sessions.some((session) => session.state !== 'closed')) return no('A session is open.');
  const opened = (await sheetOpenings(parts.store.db, study.id)).some((opening) => opening.session_number === number);
  return {
    allowed: true,
    number,
    reason: opened
      ? null
      : `Nobody has opened the preparation sheet of session ${number} yet, so no carrier can be loaded.`,
  };
}

const stages: Record<string, string> = { arrived: 'checking in', 'checked-in': 'reading the cautions', ready: 'ready' };

async function sessionView(
  parts: Parts,
  study: StudyRow,
  session: SessionRow,
  addresses: { joinBase: string; others: string[] },
): Promise<DeskSession> {
  const { db } = parts.store;
  const plan = planOf(study);
  const sittings = await sittingsOf(db, session.id);
  const trials = await trialsOfSession(db, session.id);
  const seats: SeatNow[] = sittings
    .filter((sitting) => sitting.seat !== null)
    .map((sitting) => ({ sitting, trials: trials.filter((trial) => trial.sitting_id === sitting.id) }));
  const audience = (sitting: SittingWithWho) =>
    plan.audiences.find((one) => one.id === sitting.audience_id)?.name ?? '';
  const nextSeat = freeSeat(sittings);
  const joinUrl = `${addresses.joinBase}/j/${session.join_code}`;
  return {
    number: session.number,
    state: session.state === 'paused' ? 'paused' : 'open',
    joinUrl,
    joinCode: session.join_code,
    joinQrSvg: await qrSvg(joinUrl),
    otherUrls: addresses.others.map((other) => `${other}/j/${session.join_code}`),
    hands: session.state === 'paused' ? [] : await handsOf(db, servingOf(parts, study), session.number, seats),
    arrivals: sittings
      .filter((sitting) => sitting.state in stages)
      .map((sitting) => ({
        sitting: sitting.id,
        alias: sitting.alias,
        audience: audience(sitting),
        ready: sitting.state === 'ready',
        stage: stages[sitting.state] ?? '',
        nextSeat,
      })),
    seats: seats
      .sort((a, b) => (a.sitting.seat ?? 0) - (b.sitting.seat ?? 0))
      .map((seat) => ({
        sitting: seat.sitting.id,
        seat: seat.sitting.seat ?? 0,
        alias: seat.sitting.alias,
        audience: audience(seat.sitting),
        now: nowOf(seat),
        holding: seat.sitting.holding,
        progress: progressOf(seat.trials),
        state: seat.sitting.state as 'seated' | 'finished' | 'out',
        ...trialOf(touchedTrial(seat)),
        canLeave: seat.sitting.state === 'seated',
        canReturn: seat.sitting.state === 'out',
      })),
    incidentCategories: incidentCategories.map((value) => ({ value, label: mishapWords(value) })),
    voidReasons: voidReasons.map((value) => ({ value, label: mishapWords(value) })),
  };
}

const trialOf = (trial: TrialRow | undefined) => ({
  trial: trial?.id ?? null,
  trialCodes: trial ? codesOf(trial).slice(0, trial.presentation) : [],
});
