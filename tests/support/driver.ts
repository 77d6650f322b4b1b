import { cpSync, mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { pino } from 'pino';
import { createFirstCode } from '../../server/account/first-code';
import { createApp } from '../../server/app';
import type { Bench } from '../../server/demo/bench';
import type { Arrival } from '../../server/demo/browser';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { type Account, StaffBrowser } from '../../server/demo/staff-browser';
import type { PlaysDryRun } from '../../server/dry-run/dry-runs';
import type { Rehearse } from '../../server/rehearse';
import { openStore, type Store } from '../../server/store/open';

interface HouseOptions {
  watch?: (arrival: Arrival) => void;
  /** Puts something between the server and its store. */
  store?: (store: Store) => Store;
  publicUrl?: string;
  rehearse?: Rehearse;
  dryRun?: PlaysDryRun;
}

/** The whole server in this process, on a real file, over real HTTP, with a clock that is turned by hand. */
export async function openHouse(folder = newFolder(), options: HouseOptions = {}) {
  const { watch, store: wrapped = (store: Store) => store, publicUrl, rehearse, dryRun } = options;
  const clock = { at: new Date('2026-03-02T09:00:00Z') };
  const log: string[] = [];
  const bundle = join(folder, 'bundle');
  mkdirSync(bundle, { recursive: true });
  writeFileSync(join(bundle, 'page.js'), 'export {};\n');
  const store = wrapped(await openStore(folder));
  const firstCode = await createFirstCode(store);
  const app = await createApp({
    store,
    firstCode,
    bundle,
    log: pino({ level: 'trace' }, { write: (line: string) => void log.push(line) }),
    now: () => clock.at,
    ...(publicUrl === undefined ? {} : { publicUrl }),
    ...(rehearse ? { rehearse } : {}),
    ...(dryRun ? { dryRun } : {}),
  });
  await new Promise<void>((resolve) => app.server.listen(0, '127.0.0.1', resolve));
  const origin = `http://127.0.0.1:${(app.server.address() as AddressInfo).port}`;
  const parts = watch ? { watch } : {};
  return {
    folder,
    store,
    server: app.server,
    app: app.app,
    origin,
    log,
    firstCode: firstCode.code ?? '',
    staff: (name: string) => new StaffBrowser(origin, { name, ...parts }),
    desk: (name: string) => new DeskBrowser(origin, { name, ...parts }),
    phone: (name: string) => new PhoneBrowser(origin, { name, ...parts }),
    wait: (hours: number) => {
      clock.at = new Date(clock.at.getTime() + hours * 3_600_000);
    },
    clock,
    async close() {
      await app.close();
      await store.close();
    },
  };
}
export type House = Awaited<ReturnType<typeof openHouse>>;

const folders: string[] = [];

export function newFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-flow-'));
  folders.push(folder);
  return folder;
}

/** A data folder just like that one, to be changed freely. The one that is copied must not be served meanwhile. */
export function copyOf(folder: string): string {
  const copy = newFolder();
  cpSync(folder, copy, { recursive: true });
  return copy;
}

/** For `afterAll`. */
export function removeFolders(): void {
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true });
}

export const ada: Account = { name: 'Ada', password: 'a long enough password' };
export const bo: Account = { name: 'Bo', password: 'another long password' };
export const passphrase = 'four words for sealing';

/** Two prototypes with one unit each, one audience, one turn: the smallest study there is. */
export const smallPlan: PlanInMind = {
  title: 'Vent study',
  question: 'Which vent do they prefer?',
  prototypes: [
    { name: 'Narrow vent', units: [{ serial: 'NV-001' }] },
    { name: 'Wide vent', units: [{ serial: 'WV-001' }] },
  ],
  audiences: [{ name: 'Listeners', listeners: 2 }],
  turns: 1,
  handling: 'two-person',
};

/** Everything that is stored, table by table. `except` leaves tables out that a mere look may change. */
export function dump(folder: string, except: string[] = []): Record<string, unknown[]> {
  const database = storeIn(folder);
  try {
    return allOf(database, except);
  } finally {
    database.close();
  }
}

const storeIn = (folder: string) => new Database(join(folder, 'fair-hearing.sqlite'), { readonly: true });

function allOf(database: Database.Database, except: string[] = []): Record<string, unknown[]> {
  const tables = database
    .prepare("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
    .all() as { name: string }[];
  return Object.fromEntries(
    tables
      .filter(({ name }) => !except.includes(name))
      .map(({ name }) => [name, database.prepare(`SELECT * FROM "${name}" ORDER BY rowid`).all()]),
  );
}

/**
 * Watches a store while a server works with it. What is stored is read again only if something was committed since, of
 * which SQLite keeps count (`PRAGMA data_version`), so that it costs nothing to ask after every request.
 */
export function watchStore(folder: string) {
  const database = storeIn(folder);
  const version = () => database.pragma('data_version', { simple: true });
  let known = version();
  let last = allOf(database);
  return {
    now(): Record<string, unknown[]> {
      const seen = version();
      if (seen !== known) last = allOf(database);
      known = seen;
      return last;
    },
    close: () => void database.close(),
  };
}

export interface Ledgered {
  study_id: string;
  seq: number;
  kind: string;
  actor: string;
  body: Record<string, unknown>;
}

/** The ledger of the one study in a folder, or of all that are there, read past the server. */
export function ledgerIn(folder: string): Ledgered[] {
  return (dump(folder).ledger as (Omit<Ledgered, 'body'> & { body: string })[]).map((row) => ({
    ...row,
    body: JSON.parse(row.body) as Record<string, unknown>,
  }));
}

/** One sample goes out and one comes back, as the desk says; answers with what is still to be done by hand. */
export async function handleAll(desk: DeskBrowser, study: string, bench?: Bench): Promise<void> {
  for (;;) {
    const seen = await desk.look(study);
    const arrival = seen.arrivals.find(({ seat }) => seat);
    const hand = seen.hands.find(({ form }) => form);
    if (arrival?.seat) await desk.act(arrival.seat);
    else if (hand?.form) {
      if (hand.takeBack) bench?.takeBack(hand.seat);
      if (hand.give) bench?.give(hand.seat, hand.give);
      await desk.act(hand.form);
    } else return;
  }
}
