import { mkdirSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { pino } from 'pino';
import { createFirstCode } from '../../../server/account/first-code';
import { createApp } from '../../../server/app';
import { openStore } from '../../../server/store/open';

/** What the server tells whoever started it. */
export interface Told {
  origin: string;
  /** For the first account. */
  code: string;
}

/** The whole server in a process of its own, made to wait where a request says so; ends when it is killed. */
export async function serveTimed(): Promise<void> {
  const folder = process.argv[3] ?? '';
  const bundle = join(folder, 'bundle');
  mkdirSync(bundle, { recursive: true });
  writeFileSync(join(bundle, 'page.js'), 'export {};\n');
  const store = await openStore(folder, { lasting: false });
  const firstCode = await createFirstCode(store);
  const app = await createApp({ store, firstCode, bundle, log: pino({ level: 'silent' }) });
  app.server.prependListener('request', (request) => wait(Number(request.headers['x-wait-us'] ?? 0)));
  await new Promise<void>((resolve) => app.server.listen(0, '127.0.0.1', resolve));
  const { port } = app.server.address() as AddressInfo;
  const told: Told = { origin: `http://127.0.0.1:${port}`, code: firstCode.code ?? '' };
  process.send?.(told);
}

/** Works for so many microseconds, as a lookup would. */
function wait(microseconds: number): void {
  const until = performance.now() + microseconds / 1000;
  while (performance.now() < until);
}
