import { mkdtemp, rm } from 'node:fs/promises';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import pino from 'pino';
import { createFirstCode } from '../../server/account/first-code';
import { createApp } from '../../server/app';
import { bundleClient } from '../../server/start/bundle.mjs';
import { openStore, type Store } from '../../server/store/open';

/** The whole server in this process, on a port of its own, over a real file in a folder of its own. */
export interface RunningApp {
  port: number;
  url: string;
  store: Store;
  folder: string;
  /** The one-time code for the first account. */
  code: string;
  /** Every line that went to the log. */
  log: string[];
  close(): Promise<void>;
}

export async function runApp(now?: () => Date): Promise<RunningApp> {
  const folder = await mkdtemp(join(tmpdir(), 'fair-hearing-'));
  const store = await openStore(folder);
  const firstCode = await createFirstCode(store);
  const log: string[] = [];
  const app = await createApp({
    store,
    firstCode,
    bundle: await bundleClient(),
    log: pino({ level: 'trace' }, { write: (line: string) => void log.push(line) }),
    ...(now ? { now } : {}),
  });
  await new Promise<void>((resolve) => app.server.listen(0, '127.0.0.1', () => resolve()));
  const { port } = app.server.address() as AddressInfo;
  return {
    port,
    url: `http://127.0.0.1:${port}`,
    store,
    folder,
    code: firstCode.code ?? '',
    log,
    async close() {
      await app.close();
      await store.close();
      await rm(folder, { recursive: true, force: true });
    },
  };
}
