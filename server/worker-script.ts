import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundleServer } from '../start/bundle.mjs';

/** As the bundle of the server calls it. */
const name = 'dry-run-worker.js';

/**
 * The script of the worker, as Node runs it. It lies beside the bundle that this is part of, so that both are of the same
 * sources whatever was changed since; started from the sources themselves, as tests are, a bundle is made.
 */
export async function workerScript(): Promise<string> {
  const beside = join(dirname(fileURLToPath(import.meta.url)), name);
  return existsSync(beside) ? beside : join(dirname(await bundleServer()), name);
}
