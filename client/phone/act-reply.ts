import type { ActReply, Place } from '../../shared/wire';

/**
 * What came of one attempt to send: an answer, nothing, a page that the server no longer knows, or a phone whose link
 * has ended.
 */
export type Attempt = ActReply | 'unreachable' | 'stale' | 'signed-out';

/** Codes after which the same act may be taken later. Every other refusal is final. */
const passing = ['busy', 'unavailable'];

/** Whether the server has decided what becomes of the act, so that it need not be sent again. */
export function isSettled(attempt: Attempt): attempt is ActReply {
  return typeof attempt !== 'string' && (attempt.ok || !passing.includes(attempt.error.code));
}

const isObject = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;

export function readPlace(value: unknown): Place | null {
  return isObject(value) && typeof value.version === 'number' && typeof value.html === 'string'
    ? { version: value.version, html: value.html }
    : null;
}

/** An answer of the expected shape, or null: a page of some hotel's network is no acknowledgement. */
export function readReply(value: unknown): ActReply | null {
  if (!isObject(value)) return null;
  const place = readPlace(value.place);
  if (value.ok === true) {
    if (!place) return null;
    return value.apart === true ? { ok: true, place, apart: true } : { ok: true, place };
  }
  if (value.ok !== false || !isObject(value.error)) return null;
  const { code, message, path } = value.error;
  if (typeof code !== 'string' || typeof message !== 'string') return null;
  return { ok: false, error: { code, message, path: typeof path === 'string' ? path : '' }, place };
}
