/**
 * Every view in every state of its examples file, with the real styles and scripts, at /<view>/<name>. The browser
 * tests walk through it, and so do people, at http://localhost:4400/ or the port given:
 *   npx esbuild tests/browser/gallery.ts --bundle --platform=node --format=esm --packages=external --log-level=error \
 *     --outfile=node_modules/.cache/fair-hearing/gallery.mjs && node node_modules/.cache/fair-hearing/gallery.mjs 4400
 * A change to a template, a style, a script or an example shows after starting it again.
 */

import { createHash } from 'node:crypto';
import { existsSync, readdirSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { basename, extname, join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { Server } from 'socket.io';
import { root } from '../../server/root';
import { createViews } from '../../server/web/views';
import type { ActReply } from '../../shared/wire';
import type { Manifest } from '../../shared/wire/sound';
import { wav24Of } from '../client/phone/player/wav24-of';
import { axePath, axeSource } from '../support/axe';
import type { ViewExamples } from '../views/examples/examples';

/** As strict as the server's own, so that a style attribute or an inline script is seen here already. */
export const galleryPolicy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; " +
  "connect-src 'self' ws:; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

export interface Gallery {
  url: string;
  paths: { path: string; view: string; layout: 'phone' | 'staff'; name: string }[];
  /** The page of an example, as it is served. */
  html(path: string): string;
  close(): Promise<void>;
}

/** Reads every examples file. */
export async function readExamples(filter: (file: string) => boolean = () => true): Promise<ViewExamples[]> {
  const folder = join(root, 'tests', 'views', 'examples');
  const files = readdirSync(folder).filter((f) => f.endsWith('.ts') && f !== 'examples.ts' && filter(f));
  // In a test they are imported as everything is; by itself Node reads no TypeScript.
  const readable = process.env.VITEST ? folder : await bundled(folder, files);
  const read = files.map(async (f): Promise<ViewExamples | null> => {
    const file = join(readable, process.env.VITEST ? f : `${basename(f, '.ts')}.mjs`);
    const module = (await import(/* @vite-ignore */ pathToFileURL(file).href)) as { default?: ViewExamples };
    return module.default ?? null;
  });
  return (await Promise.all(read)).filter((e) => e !== null);
}

/** The folder of their bundles, one by one. */
async function bundled(folder: string, files: readonly string[]): Promise<string> {
  const out = join(root, 'node_modules', '.cache', 'fair-hearing', `examples-${process.pid}-${Date.now()}`);
  await build({
    entryPoints: files.map((f) => join(folder, f)),
    outdir: out,
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    packages: 'external',
    outExtension: { '.js': '.mjs' },
    logLevel: 'error',
  });
  return out;
}

type ClientFiles = Map<string, { type: string; body: Uint8Array | string }>;
let client: Promise<ClientFiles> | null = null;

/** Styles and scripts as the server serves them under /client/; bundled once a process. */
export function clientFiles(): Promise<ClientFiles> {
  client ??= bundleFiles();
  return client;
}

async function bundleFiles(): Promise<ClientFiles> {
  const client = join(root, 'client');
  const entries: Record<string, string> = {};
  for (const name of readdirSync(join(client, 'styles'))) {
    if (name.endsWith('.css')) entries[basename(name, '.css')] = join(client, 'styles', name);
  }
  const scripts: Record<string, string> = {};
  for (const name of readdirSync(client)) {
    const entry = [join(client, name, `${name}.ts`), join(client, name)].find(
      (f) => f.endsWith('.ts') && existsSync(f),
    );
    if (entry) scripts[basename(entry, '.ts')] = entry;
  }
  const found: ClientFiles = new Map();
  const types: Record<string, string> = {
    '.css': 'text/css; charset=utf-8',
    '.js': 'text/javascript; charset=utf-8',
    '.woff2': 'font/woff2',
    '.svg': 'image/svg+xml',
  };
  for (const entryPoints of [entries, scripts]) {
    if (Object.keys(entryPoints).length === 0) continue;
    const built = await build({
      entryPoints,
      bundle: true,
      write: false,
      outdir: '/client',
      publicPath: '/client',
      format: 'esm',
      target: ['es2020', 'safari15'],
      loader: { '.woff2': 'file', '.woff': 'file' },
      logLevel: 'error',
    });
    for (const file of built.outputFiles) {
      found.set(`/client/${basename(file.path)}`, {
        type: types[extname(file.path)] ?? 'application/octet-stream',
        body: file.contents,
      });
    }
  }
  const icon = join(client, 'icon.svg');
  if (existsSync(icon)) found.set('/client/icon.svg', { type: 'image/svg+xml', body: await readFile(icon) });
  return found;
}

const rate = 48_000;
/** Soft, and of no other use than that a page has something to play. */
const softTone = wav24Of(
  rate,
  Array.from({ length: rate / 2 }, (_, at): [number, number] => [Math.round(3_000 * Math.sin(at / 20)), 0]),
);
const softHash = createHash('sha256').update(softTone).digest('hex');
/** As the server says it; three for the cards of a trial, one elsewhere, which needs no more. */
const soundsAt = (asked: URLSearchParams): Manifest => ({
  trial: (asked.get('trial') ?? '') as Manifest['trial'],
  rate,
  frames: rate / 2,
  sounds: [1, 2, 3].map((presentation) => ({
    presentation,
    url: `/listen/sound/${'x'.repeat(42)}${presentation}` as Manifest['sounds'][number]['url'],
    bytes: softTone.length,
    sha256: softHash as Manifest['sounds'][number]['sha256'],
  })),
});

/** What pages fetch again and again, by the end of its path. */
const parts: Record<string, string> = {
  '/rehearsal/part': 'review/parts/rehearsal',
  '/dry-run/part': 'dry-run/parts/progress',
  '/review/computing': 'review/parts/computing',
};

/** What is older than the place that is shown changes nothing. */
const taken: ActReply = { ok: true, place: { version: 0, html: '' } };

export async function openGallery(
  options: { port?: number; filter?: (file: string) => boolean } = {},
): Promise<Gallery> {
  const views = createViews();
  const [all, files] = await Promise.all([readExamples(options.filter), clientFiles()]);
  const paths = all.flatMap(({ view, layout, examples }) =>
    examples.map(({ name, model }) => ({ path: `/${view}/${name}`, view, layout, name, model })),
  );
  const pages = new Map(paths.map((p) => [p.path, p]));
  const html = (path: string): string => {
    const found = pages.get(path);
    if (!found) throw new Error(`There is no example ${path}.`);
    return views.page(found.view, found.model, found.layout);
  };
  const index = () =>
    `<!doctype html><html lang="en"><meta charset="utf-8"><title>Gallery</title><link rel="stylesheet" href="/client/phone.css"><h1>Every view, every state</h1><ul>${paths
      .map((p) => `<li><a href="${p.path}">${p.path}</a></li>`)
      .join('')}</ul></html>`;

  /** What the page that asks shows at this very moment, so that it stays as it is. */
  const partOfAsking = (referer = '/'): object | null => {
    const asking = pages.get(new URL(referer, 'http://gallery').pathname);
    return (asking?.model as { part?: object | null } | undefined)?.part ?? null;
  };

  const server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://gallery').pathname;
    response.setHeader('content-security-policy', galleryPolicy);
    const file = files.get(path);
    const page = pages.get(path);
    const part = Object.entries(parts).find(([end]) => path.endsWith(end))?.[1];
    const asking = part ? partOfAsking(request.headers.referer) : null;
    // From one page to the next they stay the same, and so does what the browser has made of them.
    if (file || path === axePath) response.setHeader('cache-control', 'max-age=3600');
    if (file) {
      response.setHeader('content-type', file.type);
      response.end(file.body);
    } else if (page || path === '/') {
      response.setHeader('content-type', 'text/html; charset=utf-8');
      try {
        response.end(page ? html(path) : index());
      } catch (error) {
        response.statusCode = 500;
        response.end(error instanceof Error ? error.stack : String(error));
      }
    } else if (path === '/listen/sounds') {
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(soundsAt(new URL(request.url ?? '/', 'http://gallery').searchParams)));
    } else if (path === axePath) {
      response.setHeader('content-type', 'text/javascript');
      response.end(axeSource);
    } else if (path.startsWith('/listen/sound/')) {
      response.setHeader('content-type', 'audio/wav');
      response.end(softTone);
    } else if (path === '/listen/act') {
      response.setHeader('content-type', 'application/json');
      response.end(JSON.stringify(taken));
    } else if (part && asking) {
      response.setHeader('content-type', 'text/html; charset=utf-8');
      response.end(views.part(part, asking));
    } else {
      response.statusCode = 404;
      response.end('Not here.');
    }
  });
  // The scripts find a socket, as on the server; nothing happens on it, and an act changes nothing.
  const sockets = new Server(server);
  sockets.of('/listen').on('connection', (socket) => {
    socket.on('where', (acknowledge: unknown) => {
      if (typeof acknowledge === 'function') acknowledge(null);
    });
    socket.on('act', (_, acknowledge: unknown) => {
      if (typeof acknowledge === 'function') acknowledge(taken);
    });
  });
  sockets.of('/desk').on('connection', () => {});
  await new Promise<void>((resolve) => server.listen(options.port ?? 0, '127.0.0.1', resolve));
  const { port } = server.address() as AddressInfo;
  return {
    url: `http://127.0.0.1:${port}`,
    paths: paths.map(({ path, view, layout, name }) => ({ path, view, layout, name })),
    html,
    close: async () => {
      await sockets.close();
    },
  };
}

if (process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const gallery = await openGallery({ port: Number(process.argv[2] ?? 4400) });
  console.log(`${gallery.paths.length} examples at ${gallery.url}/`);
}
