import { createServer, type Server as HttpServer } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import express from 'express';
import type { Browser, Page } from 'playwright-core';
import { Server } from 'socket.io';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { Desk, DeskPage, Hand } from '../../../server/run/view-models';
import { bundleClient } from '../../../server/start/bundle.mjs';
import { createViews } from '../../../server/web/views';
import { launchChromium } from '../../support/chromium';
import { code, sitting } from '../../views/examples/branded';
import { deskStates } from '../../views/examples/run-desk';
import { frame, study } from '../../views/staff/frame';

/**
 * The desk's own script in a real browser, against a server that keeps one desk in memory and answers as the real one
 * does: the part after a form, an error page with a refusal, `changed` by socket.
 */
const views = createViews();
let browser: Browser;
let folder: string;
beforeAll(async () => {
  [browser, folder] = await Promise.all([launchChromium(), bundleClient()]);
});
afterAll(() => browser?.close());

let page: Page;
let server: HttpServer;
let sockets: Server;
const connections = new Set<Socket>();
/** Requests for the part that are under way. */
let asking = 0;
let url: string;
let desk: Desk;
let posts: { path: string; body: Record<string, string>; headers: Record<string, unknown> }[];
/** What the next form is answered with, once it may be. */
let answer: { refusal: string | null; wait: Promise<void> };

const swap = (seat: number, give: string, takeBack: string | null = null): Hand => ({
  kind: 'swap',
  sitting: sitting(seat),
  seat,
  give: code(give),
  takeBack: takeBack === null ? null : code(takeBack),
  practice: false,
  covered: false,
});
const change = (hands: Hand[]) => {
  const { session } = deskStates.normal;
  if (session) desk = { ...desk, version: desk.version + 1, session: { ...session, hands } };
};
const tell = () => sockets.of('/desk').emit('changed', desk.version);

/** Ends the server, and with it connections that the browser holds in reserve and that would otherwise keep it. */
async function goAway(): Promise<void> {
  const gone = sockets.close();
  for (const connection of connections) connection.destroy();
  await gone;
}

async function serve(port = 0): Promise<void> {
  const app = express();
  app.use(express.urlencoded({ extended: false }));
  app.use('/client', express.static(folder));
  const base = desk.base;
  app.get(`${base}/run`, (_req, res) => {
    const model: DeskPage = { ...frame('Run', study('run', 'running')), desk };
    res.send(views.page('run/desk', model));
  });
  app.get(`${base}/run/part`, (_req, res) => void res.send(views.part('run/parts/desk', desk)));
  app.post(`${base}/run/:action`, async (req, res) => {
    posts.push({ path: req.params.action ?? '', body: req.body as Record<string, string>, headers: req.headers });
    await answer.wait;
    if (answer.refusal !== null) {
      const heading = 'Not now';
      const next = { label: 'Back', url: '/' };
      const model = { ...frame(heading, null), heading, sentence: answer.refusal, code: 'conflict', next };
      res.status(409).send(views.page('web/error', model));
      return;
    }
    if (req.params.action === 'hand-over') change((desk.session?.hands ?? []).slice(1));
    res.send(views.part('run/parts/desk', desk));
  });
  server = createServer(app);
  server.on('connection', (connection) => {
    connections.add(connection);
    connection.on('close', () => connections.delete(connection));
  });
  sockets = new Server(server);
  sockets.of('/desk').on('connection', () => {});
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  url = `http://127.0.0.1:${(server.address() as AddressInfo).port}`;
}

beforeEach(async () => {
  desk = deskStates.normal;
  change([swap(3, '417', '502'), swap(5, '946')]);
  posts = [];
  answer = { refusal: null, wait: Promise.resolve() };
  await serve();
  page = await browser.newPage();
  asking = 0;
  const aboutPart = (request: { url(): string }) => (request.url().endsWith('/part') ? 1 : 0);
  page.on('request', (request) => {
    asking += aboutPart(request);
  });
  page.on('requestfinished', (request) => {
    asking -= aboutPart(request);
  });
  await page.goto(`${url}${desk.base}/run`);
  await expect.poll(() => sockets.of('/desk').sockets.size).toBe(1);
  // The desk asks for its part once it is connected; a change that it has shown is behind that.
  change(desk.session?.hands ?? []);
  tell();
  await expect.poll(version).toBe(String(desk.version));
  await quiet();
});
afterEach(async () => {
  await page.close();
  await goAway();
});

/** Until the desk asks for nothing any more: a part still on its way would come in the middle of a test. */
async function quiet(): Promise<void> {
  for (let still = 0; still < 3; ) {
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(done)));
    still = asking === 0 ? still + 1 : 0;
  }
}

const words = async () => ((await page.textContent('.hands')) ?? '').replace(/\s+/g, ' ');
const version = () => page.getAttribute('.desk', 'data-version');

test('the handshake names the study', () => {
  const [socket] = sockets.of('/desk').sockets.values();
  expect(socket?.handshake.auth).toEqual({ study: study('run', 'running').id });
});

test('a hand-over is sent once, however often it is tapped, and brings the next', async () => {
  let open = () => {};
  answer.wait = new Promise((resolve) => {
    open = resolve;
  });
  await page.evaluate(() => {
    const button = document.querySelector<HTMLButtonElement>('[data-hand] button');
    for (let tap = 0; tap < 4; tap++) button?.click();
  });
  open();
  await expect.poll(words).not.toContain('Seat 3');
  expect(await words()).toContain('Seat 5');
  expect(posts).toHaveLength(1);
  expect(posts[0]).toMatchObject({ path: 'hand-over', body: { sitting: sitting(3), give: '417', takeBack: '502' } });
  expect(posts[0]?.body._csrf).toBeTruthy();
  expect(posts[0]?.headers).toMatchObject({ accept: 'text/html', 'x-part': '1' });
});

test('a tap that was meant for what stood there before books nothing', async () => {
  change([swap(5, '946'), swap(3, '417', '502')]);
  // In one go, as when the part changes between deciding and tapping.
  await page.evaluate(() => {
    const holder = document.querySelector('[data-part]');
    if (!holder) throw new Error('no desk');
    new MutationObserver((_changes, observer) => {
      observer.disconnect();
      queueMicrotask(() => document.querySelector<HTMLButtonElement>('[data-hand] button')?.click());
    }).observe(holder, { childList: true });
  });
  tell();
  await expect.poll(words).toMatch(/^ ?Seat 5/);
  // Once it could be read, the same tap counts.
  await expect.poll(() => page.$('[data-settling]')).toBeNull();
  expect(posts).toEqual([]);
  await page.click('[data-hand] button');
  await expect.poll(() => posts.map(({ body }) => body.give)).toEqual(['946']);
});

test('a change keeps what is open, what was typed, and the focus', async () => {
  await page.click('#incident-line');
  await page.fill('#incident-text', 'door slam');
  await page.click(`#seat-more-${sitting(2)}-line`);
  await page.focus('#incident-text');
  change([swap(2, '638')]);
  tell();
  await expect.poll(words).toContain('Seat 2');
  expect(await page.inputValue('#incident-text')).toBe('door slam');
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('incident-text');
  expect(await page.$$eval('details[open]', (open) => open.map(({ id }) => id))).toEqual([
    `seat-more-${sitting(2)}`,
    'incident',
  ]);
});

test('when the focused hand-over is gone the focus goes to the heading, not to another hand-over', async () => {
  await page.focus('[data-hand] button');
  change([swap(5, '946')]);
  tell();
  await expect.poll(words).not.toContain('Seat 3');
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('desk-head');
});

test('an incident takes two taps, carries its words, and folds away', async () => {
  await page.click('#incident-line');
  await page.fill('#incident-text', 'door slam');
  await page.click('#incident-form button[value="noise"]');
  await expect.poll(() => posts.length).toBe(1);
  expect(posts[0]).toMatchObject({ path: 'incident', body: { text: 'door slam', category: 'noise' } });
  await expect.poll(() => page.$eval('#incident', (details) => (details as HTMLDetailsElement).open)).toBe(false);
  expect(await page.inputValue('#incident-text')).toBe('');
});

test('a refusal is said in its own words, and the desk shows what is true', async () => {
  answer.refusal = 'Seat 3 has 417 already. Look at the line of seat 3.';
  change([swap(5, '946')]);
  await page.click('[data-hand] button');
  await expect.poll(() => page.textContent('[data-says]')).toBe(answer.refusal);
  await expect.poll(words).not.toContain('Seat 3');
  answer.refusal = null;
});

test('an older part never replaces a newer one', async () => {
  const shown = await version();
  desk = { ...desk, version: desk.version - 1, session: null };
  const reply = page.waitForResponse((response) => response.url().endsWith('/run/part'));
  await page.evaluate(() => document.dispatchEvent(new Event('visibilitychange')));
  await (await reply).finished();
  // Time enough to show it, if it were to be shown.
  await page.waitForTimeout(200);
  expect(await version()).toBe(shown);
  expect(await words()).toContain('Seat 3');
});

test('says when the connection is lost, keeps trying, and is up to date when it is back', async () => {
  const port = Number(new URL(url).port);
  await goAway();
  await expect.poll(() => page.textContent('[data-line]')).toContain('lost');
  await page.click('[data-hand] button');
  await expect.poll(() => page.textContent('[data-says]')).toContain('may not have reached');
  change([swap(2, '638')]);
  await serve(port);
  await expect.poll(() => page.textContent('[data-line]'), { timeout: 15_000 }).toBe('');
  await expect.poll(words).toContain('Seat 2');
});
