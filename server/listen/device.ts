import type { IncomingHttpHeaders } from 'node:http';
import type { Request, Response } from 'express';
import { z } from 'zod';
import type { Command } from '../command';
import { setDevice } from '../store/listeners';
import { updateSitting } from '../store/sittings';
import type { ListenerRow, SessionRow, SittingRow } from '../store/tables';
import { cookieNames, readCookie } from '../web/cookies';
import { visitToken } from '../web/csrf';
import { tokenHash } from '../web/random-token';
import { ownSitting } from './arrival';

/**
 * A listener goes on with one browser at a time, whatever else their link was opened on: two that show the same trial
 * would be answered twice, or by two. A browser is known by its cookie of visit, and only a hash of that is stored.
 */

/** The browser that sent these headers; null when it shows no cookie. */
export function deviceOf(headers: IncomingHttpHeaders): string | null {
  const visit = readCookie(headers, cookieNames.visit);
  return visit === null ? null : tokenHash(visit);
}

/** The browser that asked for this page, known from now on if it wasn't before. */
export const deviceHere = (req: Request, res: Response): string => tokenHash(visitToken(req, res));

const underWay: readonly SittingRow['state'][] = ['arrived', 'checked-in', 'ready', 'seated'];

export const isUnderWay = (sitting: Pick<SittingRow, 'state'>, session: Pick<SessionRow, 'state'>): boolean =>
  session.state !== 'closed' && underWay.includes(sitting.state);

/** Whether a sitting under way goes on in another browser than this one. */
export const isElsewhere = (
  listener: Pick<ListenerRow, 'device'>,
  sitting: Pick<SittingRow, 'state'>,
  session: Pick<SessionRow, 'state'>,
  device: string | null,
): boolean => listener.device !== null && listener.device !== device && isUnderWay(sitting, session);

const going = z.strictObject({ device: z.string().min(20).max(200) });

/** The sitting goes on here. What the other browser still has to send is taken as long as it fits. */
export const goOnHere: Command<z.infer<typeof going>> = {
  name: 'go-on-here',
  does: 'go on with another phone',
  states: ['running'],
  who: 'listener',
  input: going,
  async run(context, { device }) {
    const sitting = await ownSitting(context);
    await setDevice(context.tx, sitting.listener_id, device);
    // Both browsers are told, and each drops what is older than what it shows.
    await updateSitting(context.tx, sitting.id, {});
    await context.record('device-changed', { listener: sitting.listener_id });
    context.touch(sitting.id);
  },
};
