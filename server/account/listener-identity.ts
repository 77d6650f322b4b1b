import type { IncomingHttpHeaders } from 'node:http';
import { findListenerByToken, hasEnded } from '../store/listeners';
import type { Db } from '../store/open';
import type { ListenerRow } from '../store/tables';
import { cookieNames, readCookie } from '../web/cookies';
import { tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';

/** Longer than a study: a listener comes back after weeks, and browsers drop what scripts store after days. */
export const listenerDays = 400;

/** The listener whose personal token this browser holds, or null. */
export async function listenerOf(db: Db, headers: IncomingHttpHeaders): Promise<ListenerRow | null> {
  const token = readCookie(headers, cookieNames.listener);
  return token ? ((await findListenerByToken(db, tokenHash(token))) ?? null) : null;
}

/** Whether the token that this browser holds was ended, after a loss. */
export async function linkEnded(db: Db, headers: IncomingHttpHeaders): Promise<boolean> {
  const token = readCookie(headers, cookieNames.listener);
  return token !== null && (await hasEnded(db, tokenHash(token)));
}

export const endedLink = (): Refusal =>
  new Refusal(
    'gone',
    'The link of this phone was ended at the desk, because something was lost. Ask there for the new card. Opened here, it sends what this phone still keeps.',
    { next: { label: 'Type the code', url: '/j' } },
  );

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
