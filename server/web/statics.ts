import { createRequire } from 'node:module';
import { join } from 'node:path';
import express, { type Response, Router } from 'express';
import { root } from '../root';

const packages = createRequire(join(root, 'package.json'));
const fonts = {
  inter: '@fontsource-variable/inter/files/inter-latin-wght-normal.woff2',
  'source-serif': '@fontsource-variable/source-serif-4/files/source-serif-4-latin-wght-normal.woff2',
} as const;

/** The files under /client: the bundled scripts and styles of a folder, the fonts, the icon. The same for everyone. */
export function clientFiles(bundle: string): Router {
  const router = Router();
  const week = { headers: { 'Cache-Control': 'public, max-age=604800' }, cacheControl: false, etag: false } as const;
  for (const [name, file] of Object.entries(fonts)) {
    const path = packages.resolve(file);
    router.get(`/client/fonts/${name}.woff2`, (_req, res) => res.sendFile(path, week));
  }
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
