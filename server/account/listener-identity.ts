import type { IncomingHttpHeaders } from 'node:http';
import { findListenerByToken } from '../store/listeners';
import type { Db } from '../store/open';
import type { ListenerRow } from '../store/tables';
import { cookieNames, readCookie } from '../web/cookies';
import { tokenHash } from '../web/random-token';

/** Longer than a study: a listener comes back after weeks, and browsers drop what scripts store after days. */
export const listenerDays = 400;

/** The listener whose personal token this browser holds, or null. */
export async function listenerOf(db: Db, headers: IncomingHttpHeaders): Promise<ListenerRow | null> {
  const token = readCookie(headers, cookieNames.listener);
  return token ? ((await findListenerByToken(db, tokenHash(token))) ?? null) : null;
}

/**
 * Two aliases that look the same are the same: width, case and spacing don't count, nor signs that can't be seen, with
 * which a taken or barred name could be had twice.
 */
export const aliasKey = (alias: string): string =>
  alias
    .normalize('NFKC')
    .replace(/[\p{C}\p{Default_Ignorable_Code_Point}]/gu, '')
    .replace(/\s+/gu, ' ')
    .trim()
    .toLowerCase();
