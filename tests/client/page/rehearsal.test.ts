import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import express from 'express';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import { bundleClient } from '../../../server/start/bundle.mjs';
import { createViews } from '../../../server/web/views';
import { launchChromium } from '../../support/chromium';
import rehearsal from '../../views/examples/review-rehearsal';
import { base } from '../../views/staff/frame';

/** The script of the rehearsal page in a real browser, whose clock is turned on, against a server that may forget. */
const views = createViews();
const example = (name: string) => {
  const found = rehearsal.examples.find((one) => one.name === name)?.model;
  if (!found) throw new Error(`The rehearsal has no example “${name}”.`);
  return found;
};

let browser: Browser;
let folder: string;
let page: Page;
let server: Server;
/** The page as it is shown, and what is played by now; null when the server has forgotten it. */
let shown: string;
let playing: string | null;
let over: boolean;
let loads: number;
let asked: number;

beforeAll(async () => {
  [browser, folder] = await Promise.all([launchChromium(), bundleClient()]);
});
afterAll(() => browser?.close());

beforeEach(async () => {
  [shown, playing, over, loads, asked] = ['setting-up', 'setting-up', false, 0, 0];
  const app = express();
  app.use('/client', express.static(folder));
  app.get(`${base}/rehearsal`, (_req, res) => {
    loads++;
    res.send(views.page('review/rehearsal', example(shown)));
  });
  app.get(`${base}/rehearsal/part`, (_req, res) => {
    asked++;
    const part = playing === null ? null : example(playing).part;
    if (part) res.send(views.part('review/parts/rehearsal', { ...part, playing: !over }));
    else res.status(404).send('Nothing was rehearsed here.');
  });
  server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  page = await browser.newPage();
  await page.clock.install();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}${base}/rehearsal`);
});
afterEach(async () => {
  await page.close();
  server.close();
});

/** Long enough to ask again, and to be answered: what is asked before this answer comes is counted before it, too. */
async function aWhile(): Promise<void> {
  await page.clock.fastForward(1_000);
  await page.evaluate(() => fetch('/client/page.css').then((reply) => reply.text()));
}

test('follows what is played, until its letter can be shown', async () => {
  playing = 'playing';
  await page.clock.fastForward(1_000);
  await expect.poll(() => page.textContent('.rehearsing-now')).toBe('Session 2 of 4');
  expect(await page.getAttribute('progress', 'value')).toBe('57');
  expect(loads).toBe(1);
  shown = 'choose';
  over = true;
  await page.clock.fastForward(1_000);
  await expect.poll(() => page.isVisible('input[name="truth"]')).toBe(true);
  expect(loads).toBe(2);
});

test('forgotten by the server, it is loaded anew, and offers to begin anew', async () => {
  [playing, shown] = [null, 'choose'];
  await page.clock.fastForward(1_000);
  await expect.poll(() => page.isVisible('input[name="truth"]')).toBe(true);
  for (let i = 0; i < 3; i++) await aWhile();
  expect([loads, asked]).toEqual([2, 1]);
});

test('it is loaded anew once: of a server that says both it asks no more', async () => {
  playing = null;
  await page.clock.fastForward(1_000);
  await expect.poll(() => loads).toBe(2);
  await page.waitForLoadState();
  await page.clock.fastForward(1_000);
  await expect.poll(() => asked).toBe(2);
  for (let i = 0; i < 3; i++) await aWhile();
  expect([loads, asked]).toEqual([2, 2]);
});
