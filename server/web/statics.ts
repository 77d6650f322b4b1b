import { join } from 'node:path';
import express, { type Response, Router } from 'express';
import { root } from '../root';

/** The files under /client: the bundled scripts, styles and fonts of a folder, and the icon. The same for everyone. */
export function clientFiles(bundle: string): Router {
  const router = Router();
  const week = { headers: { 'Cache-Control': 'public, max-age=604800' }, cacheControl: false, etag: false } as const;
  const icon = join(root, 'client', 'icon.svg');
  router.get('/client/icon.svg', (_req, res) => res.sendFile(icon, week));
  router.use(
    '/client',
    express.static(bundle, {
      index: false,
      redirect: false,
      etag: false,
      cacheControl: false,
      // Asked for anew each time, and answered "not changed": a new version shows at once.
      setHeaders: (res: Response) => res.set('Cache-Control', 'no-cache'),
    }),
  );
  return router;
}
