import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import express, { type Express } from 'express';
import { pino } from 'pino';
import supertest from 'supertest';
import { onTestFinished } from 'vitest';
import { createFirstCode } from '../../server/account/first-code';
import { staffRow } from '../../server/account/new-staff';
import type { AccountParts, AttemptLimits } from '../../server/account/parts';
import { hashPassword } from '../../server/account/password';
import { accountRoutes } from '../../server/account/routes';
import { openStore } from '../../server/store/open';
import { addStaff } from '../../server/store/staff';
import { closeFront, openFront } from '../../server/web/front';
import { readSecret } from '../../server/web/secret';
import { createViews } from '../../server/web/views';

const views = createViews();
export const password = 'a long enough password';
let hash: Promise<string> | null = null;

export interface HouseOptions {
  tls?: boolean;
  publicUrl?: string | null;
  lanUrl?: string | null;
  limits?: Partial<AttemptLimits>;
  /** Pages of the test's own, between those about accounts and the end. */
  pages?: (app: Express, parts: AccountParts) => void;
}

/** A whole server with accounts only: real store in a folder of its own, real HTTP. The clock is turned by hand. */
export async function openHouse(options: HouseOptions = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-'));
  const bundle = join(folder, 'bundle');
  mkdirSync(bundle);
  writeFileSync(join(bundle, 'page.js'), 'export {};\n');
  const store = await openStore(folder);
  const clock = { at: new Date('2026-03-02T09:00:00Z') };
  const parts: AccountParts = {
    store,
    views,
    secret: readSecret(folder),
    firstCode: await createFirstCode(store),
    now: () => clock.at,
    publicUrl: options.publicUrl ?? null,
    tls: options.tls ?? false,
    lanUrl: options.lanUrl ?? null,
    ...(options.limits ? { limits: options.limits } : {}),
  };
  const lines: string[] = [];
  const log = pino({}, { write: (line: string) => void lines.push(line) });
  const app = express();
  openFront(app, { ...parts, bundle });
  app.use(accountRoutes(parts));
  options.pages?.(app, parts);
  closeFront(app, { views, log });
  const server = app.listen(0, '127.0.0.1');
  await new Promise((resolve) => server.once('listening', resolve));
  const origin = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
  onTestFinished(async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    await store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  return {
    folder,
    store,
    parts,
    origin,
    log: lines,
    browser: () => new Browser(origin),
    wait: (hours: number) => {
      clock.at = new Date(clock.at.getTime() + hours * 3_600_000);
    },
    /** An account that is just there, with the password of all tests. */
    async staff(name: string) {
      hash ??= hashPassword(password);
      const row = staffRow(name, await hash, clock.at);
      await store.write((tx) => addStaff(tx, row));
      return row;
    },
    /** A browser in which this person has signed in. */
    async signedIn(name: string) {
      const browser = new Browser(origin);
      const answer = await browser.send('/account/sign-in', { name, password });
      if (answer.status !== 303) throw new Error(`Signing in was answered ${answer.status}.`);
      return browser;
    },
  };
}
export type House = Awaited<ReturnType<typeof openHouse>>;

/** One browser with its cookies: it opens a page and sends the page's form. */
export class Browser {
  readonly agent;

  constructor(readonly origin: string) {
    this.agent = supertest.agent(origin);
  }

  open(path: string) {
    return this.agent.get(path).set('Accept', 'text/html,application/xhtml+xml,*/*;q=0.8').redirects(0);
  }

  /** The token that a page has in its forms. */
  async token(page: string): Promise<string> {
    const found = /name="_csrf" value="([^"]+)"/.exec((await this.open(page)).text);
    if (!found?.[1]) throw new Error(`${page} has no form.`);
    return found[1];
  }

  /** Opens the page and sends its form, as a person would. */
  async send(path: string, fields: Record<string, string | string[]> = {}, page = path) {
    return this.post(path, { _csrf: await this.token(page), ...fields });
  }

  post(path: string, fields: Record<string, string | string[]>) {
    return this.agent
      .post(path)
      .type('form')
      .set('Accept', 'text/html')
      .set('Origin', this.origin)
      .redirects(0)
      .send(fields);
  }

  /** What a program sends, with the token of a page in the header. */
  async json(path: string, body: object | string, page: string) {
    const token = await this.token(page);
    return this.agent
      .post(path)
      .type('json')
      .set('Accept', 'application/json')
      .set('x-csrf-token', token)
      .redirects(0)
      .send(body);
  }
}

/** The cookies that an answer sets, by name, each with its attributes. */
export function cookiesOf(answer: { headers: Record<string, string | string[] | undefined> }): Map<string, string> {
  const header = answer.headers['set-cookie'] ?? [];
  return new Map([header].flat().map((cookie) => [cookie.slice(0, cookie.indexOf('=')), cookie]));
}

/** Everything that lies in the data folder, with the write-ahead log. */
export function storedBytes(folder: string): string {
  return readdirSync(folder)
    .filter((file) => file.startsWith('fair-hearing.sqlite'))
    .map((file) => readFileSync(join(folder, file), 'latin1'))
    .join('\n');
}
