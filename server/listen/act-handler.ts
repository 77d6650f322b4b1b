import type { ActId, ListenerId, TrialId } from '../../shared/brands';
import { type Act, type ActReply, actSchema, type Place } from '../../shared/wire';
import { canonicalJson } from '../blinding/canonical-json';
import { perform } from '../command';
import type { Parts } from '../parts';
import { findSitting, latestSitting } from '../store/sittings';
import type { SittingRow } from '../store/tables';
import { findAct, findTrial } from '../store/trials';
import { Refusal } from '../web/refusal';
import { traceOf } from '../web/trace';
import { act } from './acts';
import { placeVersion, whereaboutsOf } from './place';

/** The place that a phone should show now, as it travels. */
export async function placeFor(parts: Parts, listener: ListenerId, csrf: string): Promise<Place | null> {
  const sitting = await latestSitting(parts.store.db, listener);
  return sitting ? placeAt(parts, sitting, csrf) : null;
}

async function placeAt(parts: Parts, sitting: SittingRow, csrf: string): Promise<Place | null> {
  const here = await whereaboutsOf(parts.store.db, sitting, csrf);
  if (!here?.part) return null;
  return { version: placeVersion(here.sitting), html: parts.views.part('listen/parts/place', here.part) };
}

/** An act by whatever way it came. Answers only when it is on disk, and never throws at the wire. */
export async function handleAct(
  parts: Parts,
  listener: ListenerId,
  csrf: string,
  raw: unknown,
  /** An act by a plain form, which has no clock: when it was sent doesn't make it another. */
  clockless = false,
): Promise<ActReply> {
  try {
    const sitting = await accept(parts, listener, raw, clockless);
    const place = (await placeFor(parts, listener, csrf)) ?? (await placeAt(parts, sitting, csrf));
    return place ? { ok: true, place } : { ok: false, error: gone, place: null };
  } catch (error) {
    const place = await placeFor(parts, listener, csrf).catch(() => null);
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

/** Answers with the sitting that the act was about. */
async function accept(parts: Parts, listener: ListenerId, raw: unknown, clockless: boolean): Promise<SittingRow> {
  const { db } = parts.store;
  const parsed = actSchema.safeParse(raw);
  if (parsed.success) {
    // A repeated id is answered as the first time, even when the study has gone on since.
    const before = await findAct(db, parsed.data.id as ActId);
    const own = before && (await findSitting(db, before.sitting_id));
    if (own?.listener_id === listener && isSame(before?.body ?? '', parsed.data, clockless)) return own;
  }
  // What a phone has kept belongs to the study of its trial, also when the listener has walked into another meanwhile.
  const trial = parsed.success ? await findTrial(db, parsed.data.trial as TrialId) : undefined;
  const about = trial && (await findSitting(db, trial.sitting_id));
  const sitting = about?.listener_id === listener ? about : await latestSitting(db, listener);
  if (!sitting) throw new Refusal('not-found', gone.message);
  await perform(parts, act, sitting.study_id, { kind: 'listener', id: listener }, raw);
  return sitting;
}

function isSame(before: string, now: Act, clockless: boolean): boolean {
  const told = ({ times, ...rest }: Act): string => canonicalJson(clockless ? rest : { ...rest, times });
  return told(JSON.parse(before) as Act) === told(now);
}
