import type { IncomingHttpHeaders } from 'node:http';
import type { Response } from 'express';

/** Every cookie that the server sets. All hold random tokens, and nothing else. */
export const cookieNames = { visit: 'fh_visit', staff: 'fh_staff', listener: 'fh_listener' } as const;
export type CookieName = (typeof cookieNames)[keyof typeof cookieNames];

/** The token in a cookie, or null. What is no token of ours is as good as no cookie. */
export function readCookie(headers: IncomingHttpHeaders, name: CookieName): string | null {
  for (const pair of (headers.cookie ?? '').split(';')) {
    const [key, value, ...more] = pair.split('=');
    if (key?.trim() !== name) continue;
    const token = value?.trim() ?? '';
    return more.length === 0 && /^[A-Za-z0-9_-]{20,200}$/.test(token) ? token : null;
  }
  return null;
}

/** Scripts can't read it, other sites' forms don't send it, and over TLS it never travels in the clear. */
export function setCookie(
  res: Response,
  name: CookieName,
  token: string,
  options: { tls: boolean; days: number },
): void {
  res.cookie(name, token, { ...flags(options.tls), maxAge: options.days * 86_400_000 });
}

export function clearCookie(res: Response, name: CookieName, options: { tls: boolean }): void {
  res.clearCookie(name, flags(options.tls));
}

const flags = (tls: boolean) => ({ httpOnly: true, sameSite: 'lax', secure: tls, path: '/' }) as const;
