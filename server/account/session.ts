import type { IncomingHttpHeaders } from 'node:http';
import type { Request, RequestHandler, Response } from 'express';
import type { StaffId } from '../../shared/brands';
import type { Store } from '../store/open';
import { addStaffSession, anyStaff, endStaffSession, endStaleStaffSessions, staffOfSession } from '../store/staff';
import type { Db } from '../store/tables';
import { clearCookie, cookieNames, readCookie, setCookie } from '../web/cookies';
import { wantsPage } from '../web/errors';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { rememberStaff, type Staff, staffOf } from '../web/visitor';
import type { AccountParts } from './parts';

export { type Staff, staffOf } from '../web/visitor';

export const sessionDays = 14;

/** Opens a session inside the write that earned it, and ends the one that this browser had. Answers with its token. */
export async function openSession(tx: Db, req: Request, staffId: StaffId, at: Date): Promise<string> {
  const before = readCookie(req.headers, cookieNames.staff);
  if (before) await endStaffSession(tx, tokenHash(before));
  await endStaleStaffSessions(tx, at.toISOString());
  const token = randomToken();
  await addStaffSession(tx, {
    hash: tokenHash(token),
    staff_id: staffId,
    created_at: at.toISOString(),
    expires_at: new Date(at.getTime() + sessionDays * 86_400_000).toISOString(),
  });
  return token;
}

/** Only once the session is on disk. */
export function giveSession(res: Response, token: string, { tls }: Pick<AccountParts, 'tls'>): void {
  setCookie(res, cookieNames.staff, token, { tls, days: sessionDays });
}

export async function endSession(req: Request, res: Response, { store, tls }: Pick<AccountParts, 'store' | 'tls'>) {
  const token = readCookie(req.headers, cookieNames.staff);
  if (token) await store.write((tx) => endStaffSession(tx, tokenHash(token)));
  clearCookie(res, cookieNames.staff, { tls });
}

/** Whose session the cookie in these headers is; also for the handshake of a socket. */
export async function staffOfHeaders(store: Store, headers: IncomingHttpHeaders, at: Date): Promise<Staff | null> {
  const token = readCookie(headers, cookieNames.staff);
  return token ? ((await staffOfSession(store.db, tokenHash(token), at.toISOString())) ?? null) : null;
}

/** Stands before the rooms; after it `staffOf` knows who is signed in. */
export function recogniseStaff({ store, now }: Pick<AccountParts, 'store' | 'now'>): RequestHandler {
  return async (req, _res, next) => {
    const staff = await staffOfHeaders(store, req.headers, now());
    if (staff) rememberStaff(req, staff);
    next();
  };
}

/** Lets only staff through. A page that a person opens leads to signing in and back; all else is refused. */
export function requireStaff({ store }: Pick<AccountParts, 'store'>): RequestHandler {
  return async (req, res, next) => {
    if (staffOf(req)) return next();
    const reading = req.method === 'GET' || req.method === 'HEAD';
    const first = !(await anyStaff(store.db));
    if (reading && wantsPage(req)) {
      const next = encodeURIComponent(req.originalUrl);
      return res.redirect(303, first ? '/account/first' : `/account/sign-in?next=${next}`);
    }
    throw new Refusal(
      'signed-out',
      reading
        ? 'Sign in first.'
        : 'You were signed out, so nothing was changed. Sign in in another tab, then reload this page: it sends again what you typed.',
      {
        next: first
          ? { label: 'Make the first account', url: '/account/first' }
          : { label: 'Sign in', url: '/account/sign-in' },
      },
    );
  };
}
