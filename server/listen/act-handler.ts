import type { ActId, ListenerId, TrialId } from '../../shared/brands';
import { type Act, type ActReply, actSchema, type Place } from '../../shared/wire';
import { words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { canonicalJson } from '../blinding/canonical-json';
import { perform } from '../command';
import { dueOf } from '../live/due';
import type { Parts } from '../parts';
import type { Due } from '../sittings-due';
import { findListener } from '../store/listeners';
import { findQuarantine } from '../store/quarantine';
import { findSitting, latestSitting } from '../store/sittings';
import type { SittingRow } from '../store/tables';
import { findAct, findTrial } from '../store/trials';
import { comingMinute } from '../time-words';
import { Refusal } from '../web/refusal';
import { traceOf } from '../web/trace';
import { act } from './acts';
import { postponedWords } from './arrival-parts';
import { guessingPart } from './closing-question';
import { isElsewhere } from './device';
import { isAnswer, keepApart } from './keep-apart';
import { placeVersion, type Whereabouts, whereaboutsOf } from './place';

/** The browser that is shown a place: the token for its forms, and which one it is. */
export interface Visitor {
  csrf: string;
  device: string | null;
}

/** The place that a phone should show now, as it travels. */
export async function placeFor(parts: Parts, listener: ListenerId, visitor: Visitor): Promise<Place | null> {
  const sitting = await latestSitting(parts.store.db, listener);
  return sitting ? placeAt(parts, sitting, visitor) : null;
}

async function placeAt(parts: Parts, sitting: SittingRow, visitor: Visitor): Promise<Place | null> {
  const here = await hereOf(parts, sitting, visitor);
  if (!here) return null;
  return { version: placeVersion(here.sitting), html: parts.views.part('listen/parts/place', here.part) };
}

/** Where a sitting is, as this browser may show it: a sitting under way goes on in one browser only. */
export async function hereOf(parts: Parts, sitting: SittingRow, visitor: Visitor): Promise<Whereabouts | null> {
  const { db } = parts.store;
  const here = await whereaboutsOf(db, sitting, visitor.csrf);
  const listener = here && (await findListener(db, sitting.listener_id));
  if (!listener) return here;
  if (isElsewhere(listener, here.sitting, here.session, visitor.device)) {
    return { ...here, part: { kind: 'elsewhere', csrf: visitor.csrf } };
  }
  const { part, study, session } = here;
  if (part.kind === 'postponed') {
    return { ...here, part: { ...part, next: await postponedWords(parts, study, session, sitting) } };
  }
  if (part.kind !== 'finished' || study.state !== 'running') return here;
  const due = await dueOf(db, study, listener.id, parts.now());
  const question = await guessingPart(db, study, sitting, due, visitor.csrf);
  return { ...here, part: question ?? { ...part, next: nextWords(due) } };
}

/** When the next sitting can be, for somebody who has just had one; null when there is none to come. */
function nextWords({ state, from }: Due): string | null {
  if (state === 'complete' || state === 'over') return null;
  return state === 'too-early' && from
    ? say('finished.next.from', { from: comingMinute(from) })
    : words['finished.next'];
}

/** An act by whatever way it came. Answers only when it is on disk, and never throws at the wire. */
export async function handleAct(
  parts: Parts,
  listener: ListenerId,
  visitor: Visitor,
  raw: unknown,
  /** An act by a plain form, which has no clock: when it was sent doesn't make it another. */
  clockless = false,
): Promise<ActReply> {
  try {
    const { sitting, apart } = await accept(parts, listener, raw, clockless);
    const place = (await placeFor(parts, listener, visitor)) ?? (await placeAt(parts, sitting, visitor));
    return place
      ? { ok: true, place, ...(apart ? { apart: true as const } : {}) }
      : { ok: false, error: gone, place: null };
  } catch (error) {
    const place = await placeFor(parts, listener, visitor).catch(() => null);
    // What the server itself lacks may come back: the act stays on the phone.
    if (error instanceof Refusal && error.status < 500) {
      return { ok: false, error: { code: error.code, message: error.message, path: error.path }, place };
    }
    parts.log.error({ error: traceOf(error) }, 'An act failed');
    return {
      ok: false,
      error: {
        code: 'unavailable',
        message: 'That did not work here. It stays on your phone and is sent again.',
        path: '',
      },
      place,
    };
  }
}

const gone = { code: 'not-found', message: 'You have no sitting here. Join the session again.', path: '' };

interface Accepted {
  sitting: SittingRow;
  /** It came too late, and is kept apart. */
  apart: boolean;
}

/** Answers with the sitting that the act was about. */
async function accept(parts: Parts, listener: ListenerId, raw: unknown, clockless: boolean): Promise<Accepted> {
  const { db } = parts.store;
  const parsed = actSchema.safeParse(raw);
  if (parsed.success) {
    // A repeated id is answered as the first time, even when the study has gone on since.
    const known = [await findAct(db, parsed.data.id as ActId), await findQuarantine(db, parsed.data.id as ActId)];
    for (const [i, before] of known.entries()) {
      const own = before && (await findSitting(db, before.sitting_id));
      if (own?.listener_id === listener && isSame(before?.body ?? '', parsed.data, clockless)) {
        return { sitting: own, apart: i === 1 };
      }
    }
  }
  // What a phone has kept belongs to the study of its trial, also when the listener has walked into another meanwhile.
  const trial = parsed.success ? await findTrial(db, parsed.data.trial as TrialId) : undefined;
  const about = trial && (await findSitting(db, trial.sitting_id));
  const sitting = about?.listener_id === listener ? about : await latestSitting(db, listener);
  if (!sitting) throw new Refusal('not-found', gone.message);
  const actor = { kind: 'listener' as const, id: listener };
  try {
    await perform(parts, act, sitting.study_id, actor, raw);
    return { sitting, apart: false };
  } catch (error) {
    const late = error instanceof Refusal && error.code === 'wrong-state';
    if (!late || !parsed.success || !about || !isAnswer(parsed.data)) throw error;
    await perform(parts, keepApart, sitting.study_id, actor, raw);
    return { sitting, apart: true };
  }
}

function isSame(before: string, now: Act, clockless: boolean): boolean {
  const told = (act: Act): string => canonicalJson(clockless ? withoutTimes(act) : act);
  return told(JSON.parse(before) as Act) === told(now);
}

function withoutTimes({ times: _, ...act }: Act): object {
  return 'ratings' in act ? { ...act, ratings: act.ratings.map(({ touched: __, ...rating }) => rating) } : act;
}
