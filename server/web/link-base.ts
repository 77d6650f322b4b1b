import type { Request } from 'express';
import type { WebParts } from './parts';
import { Refusal } from './refusal';

/** What a link for another device starts with, without a slash at the end: `http://192.168.1.20:3000`. */
export function linkBase(
  req: Request,
  { publicUrl, lanUrl, tls }: Pick<WebParts, 'publicUrl' | 'lanUrl' | 'tls'>,
): string {
  if (publicUrl) return new URL(publicUrl).origin;
  const own = `${tls ? 'https' : 'http'}://${req.headers.host ?? ''}`;
  if (!URL.canParse(own)) throw new Refusal('bad-address', 'The request names no host that could stand in a link.');
  const { hostname, origin } = new URL(own);
  const loopback = hostname === 'localhost' || hostname === '[::1]' || hostname.startsWith('127.');
  return loopback && lanUrl ? new URL(lanUrl).origin : origin;
}
