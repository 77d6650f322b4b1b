// Turns the TypeScript of the server and of the pages into what Node and browsers run. The results lie in
// node_modules/.cache/fair-hearing, under a key of everything they were made from, so a second start makes nothing.
// Whatever is written is written aside and renamed into place: two starts at once never read half a file.
import { createHash } from 'node:crypto';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import { mkdir, mkdtemp, readdir, rename, rm, stat, utimes, writeFile } from 'node:fs/promises';
import { dirname, join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';

const self = 'server/start/bundle.mjs';
const root = findRoot();
const cache = join(root, 'node_modules', '.cache', 'fair-hearing');
const weekMs = 7 * 24 * 60 * 60 * 1000;

/** Found by looking upwards: the server brings this file along in its own bundle. */
function findRoot() {
  let folder = dirname(fileURLToPath(import.meta.url));
  while (!existsSync(join(folder, self))) folder = dirname(folder);
  return folder;
}

/** What pages load: each becomes one file of its own name in the folder that bundleClient answers with. */
const clientEntries = [
  'client/phone/phone.ts',
  'client/desk/desk.ts',
  'client/page/page.ts',
  'client/styles/phone.css',
  'client/styles/page.css',
  'client/styles/report.css',
];

/** Bundles the commands and answers with the file to import. */
export async function bundleServer() {
  const key = keyOf(['server', 'shared', 'stats', 'protocols']);
  const folder = join(cache, `server-${key}`);
  const main = join(folder, 'main.js');
  if (existsSync(main)) {
    // Shows that it is in use to whoever clears old ones away.
    await utimes(folder, new Date(), new Date());
    return main;
  }
  await aside(async (temporary) => {
    const { build } = await import('esbuild');
    await build({
      entryPoints: {
        main: join(root, 'server/cli/main.ts'),
        // Threads of their own, which are started by file: server/worker-script.ts knows the names.
        'dry-run-worker': join(root, 'server/dry-run/worker.ts'),
        'review-worker': join(root, 'server/review/computing/worker.ts'),
      },
      outdir: temporary,
      absWorkingDir: root,
      bundle: true,
      splitting: true,
      packages: 'external',
      platform: 'node',
      format: 'esm',
      target: 'node20',
      sourcemap: true,
      // Standard error belongs to the command: a warning would stand in it before the one line that programs read.
      logLevel: 'error',
    });
    await rename(temporary, folder).catch((error) => {
      if (!existsSync(main)) throw error;
    });
  });
  await clearOld();
  return main;
}

/** Bundles scripts and styles of the pages and answers with the folder they lie in. */
export async function bundleClient() {
  const folder = join(cache, 'client');
  const keyFile = join(folder, '.key');
  const key = keyOf(['client', 'shared', 'protocols', 'stats']);
  if (existsSync(keyFile) && readFileSync(keyFile, 'utf8') === key) return folder;
  await aside(async (temporary) => {
    const { build } = await import('esbuild');
    await build({
      entryPoints: clientEntries.map((entry) => join(root, entry)),
      outdir: temporary,
      absWorkingDir: root,
      entryNames: '[name]',
      bundle: true,
      minify: true,
      format: 'esm',
      target: ['es2020', 'safari14'],
      // Safari before 14.1 stumbles only over rare shapes of it, and esbuild has no older form to offer.
      supported: { destructuring: true },
      loader: { '.woff2': 'file' },
      assetNames: '[name]',
      // Addresses of what the server serves by itself, such as fonts.
      external: ['/client/*'],
      logLevel: 'warning',
    });
    await mkdir(folder, { recursive: true });
    for (const name of await readdir(temporary)) await rename(join(temporary, name), join(folder, name));
    // Last, so that the key never promises files that are not there yet.
    await writeFile(join(temporary, '.key'), key);
    await rename(join(temporary, '.key'), keyFile);
  });
  return folder;
}

/** A digest of all sources in these folders, of the packages, and of how they are bundled. */
function keyOf(folders) {
  const hash = createHash('sha256');
  const files = [self, 'package-lock.json', 'tsconfig.json'].map((name) => join(root, name));
  for (const folder of folders) {
    if (!existsSync(join(root, folder))) continue;
    const inside = readdirSync(join(root, folder), { recursive: true }).map((name) => join(root, folder, name));
    files.push(...inside.filter((name) => /\.(ts|css|json)$/.test(name)).sort());
  }
  for (const file of files)
    hash
      .update(`${relative(root, file)}\n`)
      .update(readFileSync(file))
      .update('\n');
  return hash.digest('hex').slice(0, 20);
}

async function aside(work) {
  await mkdir(cache, { recursive: true });
  const temporary = await mkdtemp(join(cache, 'bundling-'));
  try {
    await work(temporary);
  } finally {
    await rm(temporary, { recursive: true, force: true });
  }
}

async function clearOld() {
  for (const name of await readdir(cache)) {
    if (!/^(server-|bundling-|chromium-unpacking-)/.test(name)) continue;
    const found = await stat(join(cache, name)).catch(() => undefined);
    if (found && Date.now() - found.mtimeMs > weekMs) await rm(join(cache, name), { recursive: true, force: true });
  }
}
