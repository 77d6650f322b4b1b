import type { ListenerId, StaffId } from '../../shared/brands';
import { incidentCategories, voidReasons } from '../../shared/wire/desk';
import { deskSay } from '../../shared/words/desk';
import { mishaps } from '../../shared/words/mishaps';
import { judgeDose } from '../audio/dose';
import { blindPlanOf } from '../blind-plan';
import { ledgerBodies } from '../blinding/ledger';
import { sheetOutdatedAt } from '../blinding/outdated-sheet';
import { servingOf } from '../command';
import { uncoveredBlind } from '../level-problems';
import { codesOf } from '../live/advance';
import { sessionsHeld } from '../live/due';
import { freeSeat } from '../live/free-seat';
import { qrSvg } from '../live/qr';
import type { Parts } from '../parts';
import { heardProductLately } from '../same-product';
import { soundStands } from '../sound-ready';
import { sessionsOf } from '../store/sessions';
import { type SittingWithWho, sittingsOf } from '../store/sittings';
import { sheetOpenings } from '../store/studies';
import type { SessionRow, StudyRow, TrialRow } from '../store/tables';
import { trialsOfSession } from '../store/trials';
import { deskMinute } from '../time-words';
import { weeklyDose } from '../weekly-dose';
import { barredFrom } from './barred';
import { handsOf, nowOf, progressOf, type SeatNow, touchedTrial } from './desk-hands';
import { latelyWords, panelOf } from './panel';
import { allHeld, uncoveredWords } from './sessions';
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
  const barred = await barredFrom(db, study, staff);
  const closed = [];
  for (const session of sessions.filter((one) => one.state === 'closed')) {
    const sittings = await sittingsOf(db, session.id);
    closed.push({
      number: session.number,
      openedAt: deskMinute(session.opened_at),
      closedAt: deskMinute(session.closed_at ?? ''),
      finished: sittings.filter((sitting) => sitting.state === 'finished').length,
      cut: sittings.filter(({ state }) => state !== 'finished' && state !== 'postponed').length,
      postponed: sittings.filter(({ state }) => state === 'postponed').length,
    });
  }
  const incidents = await ledgerBodies(db, study.id, ['incident']);
  return {
    base: `/studies/${study.id}`,
    csrf,
    version: study.version,
    openable: await openable(parts, study, sessions),
    barred,
    due: barred || open ? null : await dueNow(parts, study),
    session: open && !barred ? await sessionView(parts, study, open, addresses) : null,
    closedSessions: closed,
    incidents: incidents.map(({ at, body }) => ({
      at: deskMinute(at),
      category: mishaps[body.category as (typeof incidentCategories)[number]],
      text: String(body.text ?? ''),
      seat: typeof body.seat === 'number' ? body.seat : null,
    })),
  };
}

/** Who may come to the session that is opened next, were it now. */
async function dueNow(parts: Parts, study: StudyRow): Promise<Desk['due']> {
  if (study.state !== 'locked' && study.state !== 'running') return null;
  const members = await panelOf(parts.store.db, study, parts.now());
  if (members.length === 0) return null;
  const may = members.filter(({ due }) => due.state === 'due' || due.state === 'overdue');
  return may
    .map(({ alias, audience, due }) => ({ alias, audience, overdue: due.state === 'overdue' }))
    .sort((a, b) => Number(b.overdue) - Number(a.overdue) || a.alias.localeCompare(b.alias, 'en'));
}

async function openable(parts: Parts, study: StudyRow, sessions: readonly SessionRow[]): Promise<Desk['openable']> {
  const number = sessions.length + 1;
  const carriers = study.state === 'draft' || blindPlanOf(study).handling !== 'server';
  const no = (reason: string) => ({ allowed: false, number, reason, carriers, uncovered: [] });
  if (study.state === 'draft') return no(deskSay('openable.draft'));
  if (study.state !== 'locked' && study.state !== 'running') return no(deskSay('openable.closed'));
  if (sessions.some((session) => session.state !== 'closed')) return no(deskSay('openable.open'));
  const held = allHeld(blindPlanOf(study), await sessionsHeld(parts.store.db, study.id));
  if (held) return no(held);
  if ((await sheetOutdatedAt(parts.store.db, study.id, number)) !== null) {
    return no(deskSay('openable.outdated', { number }));
  }
  if (!(await soundStands(parts.store.db, study))) return no(deskSay('openable.sound'));
  const opened = (await sheetOpenings(parts.store.db, study.id)).some((opening) => opening.session_number === number);
  return {
    allowed: true,
    number,
    reason: opened || !carriers ? null : deskSay('openable.no-sheet', { number }),
    carriers,
    uncovered: uncoveredWords(await uncoveredBlind(parts.store.db, study, parts.now())),
  };
}

const stages: Record<string, string> = {
  arrived: deskSay('stage.arrived'),
  'checked-in': deskSay('stage.checked-in'),
  ready: deskSay('stage.ready'),
  postponed: deskSay('stage.postponed'),
};

async function sessionView(
  parts: Parts,
  study: StudyRow,
  session: SessionRow,
  addresses: { joinBase: string; others: string[] },
): Promise<DeskSession> {
  const { db } = parts.store;
  const plan = blindPlanOf(study);
  const sittings = await sittingsOf(db, session.id);
  const trials = await trialsOfSession(db, session.id);
  const seats: SeatNow[] = sittings
    .filter((sitting) => sitting.seat !== null)
    .map((sitting) => ({ sitting, trials: trials.filter((trial) => trial.sitting_id === sitting.id) }));
  const audience = (sitting: SittingWithWho) =>
    plan.audiences.find((one) => one.id === sitting.audience_id)?.name ?? '';
  const nextSeat = freeSeat(sittings);
  const waiting = sittings.filter((sitting) => sitting.state in stages);
  const doses = new Map<string, string>();
  for (const { id, listener_id } of waiting) {
    const judged = judgeDose((await weeklyDose(db, listener_id, parts.now())).share);
    if (judged === 'warn' || judged === 'hold') doses.set(id, deskSay(`dose.${judged}`));
  }
  const lately = waiting.length > 0 ? await heardProductLately(db, study, parts.now()) : new Map<ListenerId, number>();
  const joinUrl = `${addresses.joinBase}/j/${session.join_code}`;
  return {
    number: session.number,
    state: session.state === 'paused' ? 'paused' : 'open',
    joinUrl,
    joinCode: session.join_code,
    joinQrSvg: await qrSvg(joinUrl),
    otherUrls: addresses.others.map((other) => `${other}/j/${session.join_code}`),
    hands: session.state === 'paused' ? [] : await handsOf(db, servingOf(parts, study), plan, session.number, seats),
    arrivals: waiting
      .sort((a, b) => Number(a.state === 'postponed') - Number(b.state === 'postponed'))
      .map((sitting) => ({
        sitting: sitting.id,
        alias: sitting.alias,
        audience: audience(sitting),
        ready: sitting.state === 'ready',
        again: sitting.state === 'postponed',
        stage: stages[sitting.state] ?? '',
        nextSeat,
        dose: doses.get(sitting.id) ?? null,
        lately: latelyWords(lately.get(sitting.listener_id)),
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
    incidentCategories: incidentCategories.map((value) => ({ value, label: mishaps[value] })),
    voidReasons: voidReasons.map((value) => ({ value, label: mishaps[value] })),
  };
}

const trialOf = (trial: TrialRow | undefined) => ({
  trial: trial?.id ?? null,
  trialCodes: trial ? codesOf(trial).slice(0, trial.presentation) : [],
});
