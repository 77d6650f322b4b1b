import type { ActId, ListenerId } from '../../shared/brands';
import { type ActReply, actSchema, type Place } from '../../shared/wire';
import { canonicalJson } from '../blinding/canonical-json';
import { perform } from '../command';
import type { Parts } from '../parts';
import { findSitting, latestSitting } from '../store/sittings';
import { findAct } from '../store/trials';
import { Refusal } from '../web/refusal';
import { traceOf } from '../web/trace';
import { act } from './acts';
import { placeVersion, whereabouts } from './place';

/** The place that a phone should show now, as it travels. */
export async function placeFor(parts: Parts, listener: ListenerId, csrf: string): Promise<Place | null> {
  const here = await whereabouts(parts.store.db, listener, csrf);
  if (!here?.part) return null;
  return { version: placeVersion(here.sitting), html: parts.views.part('listen/parts/place', here.part) };
}

/** An act by whatever way it came. Answers only when it is on disk, and never throws at the wire. */
export async function handleAct(parts: Parts, listener: ListenerId, csrf: string, raw: unknown): Promise<ActReply> {
  try {
    await accept(parts, listener, raw);
    const place = await placeFor(parts, listener, csrf);
    return place ? { ok: true, place } : { ok: false, error: gone, place: null };
  } catch (error) {
    const place = await placeFor(parts, listener, csrf).catch(() => null);
    if (error instanceof Refusal) {
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

async function accept(parts: Parts, listener: ListenerId, raw: unknown): Promise<void> {
  // A repeated id is answered as the first time, even when the study has gone on since.
  const parsed = actSchema.safeParse(raw);
  if (parsed.success) {
    const before = await findAct(parts.store.db, parsed.data.id as ActId);
    const own = before && (await findSitting(parts.store.db, before.sitting_id))?.listener_id === listener;
    if (own && before.body === canonicalJson(parsed.data)) return;
  }
  const sitting = await latestSitting(parts.store.db, listener);
  if (!sitting) throw new Refusal('not-found', gone.message);
  await perform(parts, act, sitting.study_id, { kind: 'listener', id: listener }, raw);
}
