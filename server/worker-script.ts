import { existsSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { bundleServer } from './start/bundle.mjs';

/** Threads of their own, as the bundle of the server calls them. */
export type WorkerName = 'dry-run-worker' | 'review-worker';

/**
 * The script of a worker, as Node runs it. It lies beside the bundle that this is part of, so that both are of the same
 * sources whatever was changed since; started from the sources themselves, as tests are, a bundle is made.
 */
export async function workerScript(worker: WorkerName): Promise<string> {
  const name = `${worker}.js`;
  const beside = join(dirname(fileURLToPath(import.meta.url)), name);
  return existsSync(beside) ? beside : join(dirname(await bundleServer()), name);
}
