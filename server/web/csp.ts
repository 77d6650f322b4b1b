import type { RequestHandler } from 'express';
import helmet from 'helmet';
import type { WebParts } from './parts';

/**
 * Headers of every page: nothing runs, loads or frames but what this server serves, and nothing is kept by browsers.
 *
 * - `ws:` and `wss:` stand in connect-src since older versions of Safari don't count a socket as 'self'.
 * - No upgrade of insecure requests: on a plain address of the local network it blanks the page.
 * - The referrer stays inside the site. With `no-referrer`, browsers send `Origin: null` with every form, and a form
 *   from another site could no longer be told from ours (Fetch standard, "append a request Origin header").
 * - Isolation headers only over TLS: elsewhere browsers ignore them, with a complaint in the console of every page.
 * - HSTS only for a public name with TLS: it would hold for every port of the host.
 */
export function securityHeaders({ tls, publicUrl }: Pick<WebParts, 'tls' | 'publicUrl'>): RequestHandler[] {
  const headers = helmet({
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        'default-src': ["'none'"],
        'script-src': ["'self'"],
        'style-src': ["'self'"],
        'img-src': ["'self'", 'data:'],
        'font-src': ["'self'"],
        'connect-src': ["'self'", 'ws:', 'wss:'],
        'form-action': ["'self'"],
        'frame-ancestors': ["'none'"],
        'base-uri': ["'none'"],
      },
    },
    crossOriginOpenerPolicy: tls,
    originAgentCluster: tls,
    strictTransportSecurity: tls && publicUrl !== null ? { maxAge: 30 * 86_400, includeSubDomains: false } : false,
    referrerPolicy: { policy: 'same-origin' },
    xFrameOptions: { action: 'deny' },
  });
  return [
    headers,
    (_req, res, next) => {
      res.set('Cache-Control', 'no-store');
      next();
    },
  ];
}
