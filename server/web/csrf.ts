import { createHmac, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';
import type { Request, RequestHandler, Response } from 'express';
import { cookieNames, readCookie, setCookie } from './cookies';
import type { WebParts } from './parts';
import { randomToken } from './random-token';
import { Refusal } from './refusal';

type Keys = Pick<WebParts, 'secret' | 'tls' | 'publicUrl'>;
const visits = new WeakMap<Request, { token: string | null; keys: Keys }>();

// Longer than a panel's gap between sessions: a page left open over it can still be sent.
const visitDays = 60;

/** Notes whose request this is. Stands before everything, so that even a page about an unreadable request has forms. */
export function noteVisit(keys: Keys): RequestHandler {
  return (req, _res, next) => {
    visits.set(req, { token: readCookie(req.headers, cookieNames.visit), keys });
    next();
  };
}

/**
 * Lets a page act only if this server made it: whatever changes something must bring the token of this visitor's
 * pages, in the field `_csrf` or the header `x-csrf-token`, and must not come from another site. Stands after the
 * body parsers and before everything that acts.
 */
export function checkCsrf(keys: Keys): RequestHandler {
  return (req, _res, next) => {
    if (['GET', 'HEAD', 'OPTIONS'].includes(req.method)) return next();
    if (!originAllowed(req.headers, keys.publicUrl)) {
      const own = keys.publicUrl ?? 'the one in the address bar of this server';
      throw new Refusal(
        'origin',
        'This came from a page at another address. Open the page on this server and send it again; whoever runs the server can name its address with --public-url.',
        { path: 'Origin', allowed: own, got: String(req.headers.origin ?? 'another site').slice(0, 200) },
      );
    }
    const visit = readCookie(req.headers, cookieNames.visit);
    if (!visit || !same(tokenIn(req), tokenFor(visit, keys))) {
      throw new Refusal('csrf', 'This page was open too long. Go back, check what you typed, and send it again.', {
        path: '_csrf',
      });
    }
    next();
  };
}

/** The token that a page of this visitor puts into its forms; gives the visitor a cookie if there is none yet. */
export function csrfToken(req: Request, res: Response): string {
  const { token, keys } = visitOf(req, res);
  return tokenFor(token, keys);
}

/** What this browser is known by; given now if it wasn't before. Never leaves the server but in its cookie. */
export const visitToken = (req: Request, res: Response): string => visitOf(req, res).token;

function visitOf(req: Request, res: Response): { token: string; keys: Keys } {
  const visit = visits.get(req);
  if (!visit) throw new Error('noteVisit must stand before every page.');
  if (visit.token === null) {
    visit.token = randomToken();
    setCookie(res, cookieNames.visit, visit.token, { tls: visit.keys.tls, days: visitDays });
  }
  return { token: visit.token, keys: visit.keys };
}

/** The token of a visitor whose page part travels by socket; empty when the visitor has no cookie. */
export function csrfTokenOf(
  headers: IncomingHttpHeaders,
  keys: Pick<WebParts, 'secret' | 'tls' | 'publicUrl'>,
): string {
  const visit = readCookie(headers, cookieNames.visit);
  return visit ? tokenFor(visit, keys) : '';
}

/**
 * Whether a request or the handshake of a socket may come from where it says it comes from. Browsers name the origin
 * of every form, script request that changes something and socket; one that names none is no browser, or only reads.
 */
export function originAllowed(headers: IncomingHttpHeaders, publicUrl: string | null = null): boolean {
  const site = headers['sec-fetch-site'];
  if (site !== undefined && site !== 'same-origin' && site !== 'none') return false;
  const { origin } = headers;
  if (origin === undefined) return true;
  const url = URL.canParse(origin) ? new URL(origin) : null;
  if (!url || !['http:', 'https:'].includes(url.protocol)) return false;
  if (publicUrl !== null && url.origin === new URL(publicUrl).origin) return true;
  const host = `${url.protocol}//${headers.host ?? ''}`;
  return URL.canParse(host) && new URL(host).host === url.host;
}

function tokenFor(visit: string, { secret }: Keys): string {
  return createHmac('sha256', secret).update(`csrf ${visit}`).digest('base64url');
}

/** Takes the token out of the body, so that no form schema has to know of it. */
function tokenIn(req: Request): string {
  const body: unknown = req.body;
  const header = req.headers['x-csrf-token'];
  if (typeof body !== 'object' || body === null || Array.isArray(body)) return typeof header === 'string' ? header : '';
  const fields = body as Record<string, unknown>;
  const field = Object.hasOwn(fields, '_csrf') ? fields._csrf : undefined;
  delete fields._csrf;
  if (typeof field === 'string') return field;
  return typeof header === 'string' ? header : '';
}

function same(given: string, expected: string): boolean {
  const [a, b] = [Buffer.from(given), Buffer.from(expected)];
  return a.length === b.length && timingSafeEqual(a, b);
}
