import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import express from 'express';
import type { Browser, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { Finds } from '../../../server/plan/view-models';
import { bundleClient } from '../../../server/start/bundle.mjs';
import { createViews } from '../../../server/web/views';
import { launchChromium } from '../../support/chromium';
import plan from '../../views/examples/plan-plan';
import { base } from '../../views/staff/frame';

/** The script of the plan page in a real browser, against a server that works out what a plan finds when it is told to. */
const views = createViews();
const example = (name: string) => {
  const found = plan.examples.find((one) => one.name === name)?.model;
  if (!found) throw new Error(`The plan has no example “${name}”.`);
  return found;
};

let browser: Browser;
let folder: string;
let page: Page;
let server: Server;
let asked: Record<string, string>[];
let locked: number;
let fails: boolean;
let shown: string;
let pressed: string[];

beforeAll(async () => {
  [browser, folder] = await Promise.all([launchChromium(), bundleClient()]);
});
afterAll(() => browser?.close());

beforeEach(async () => {
  asked = [];
  locked = 0;
  fails = false;
  shown = 'normal';
  pressed = [];
  const app = express();
  app.use(express.urlencoded({ extended: false, parameterLimit: 1000 }));
  app.use('/client', express.static(folder));
  app.get(`${base}/plan`, (_req, res) => void res.send(views.page('plan/plan', example(shown))));
  app.post(`${base}/plan`, (req, res) => {
    const { do: did } = req.body as { do: string };
    pressed.push(did);
    if (did.startsWith('aim:')) shown = 'impressions';
    if (did.startsWith('add-scale')) shown = 'impressions-six';
    res.redirect(303, `${base}/plan`);
  });
  app.post(`${base}/plan/finds`, (req, res) => {
    const fields = req.body as Record<string, string>;
    asked.push(fields);
    if (fails) return void res.status(500).send('no');
    const finds: Finds = { result: null, reason: `${fields['audiences.0.listeners']} listeners were asked about.` };
    res.send(views.part('plan/finds', finds));
  });
  app.post(`${base}/lock`, (_req, res) => {
    locked++;
    res.send('locked');
  });
  server = createServer(app);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}${base}/plan`);
});
afterEach(async () => {
  await page.close();
  server.close();
});

const listeners = '[id="audiences.0.listeners"]';

test('what it can find follows the typing, asked once it pauses, with all fields of the plan', async () => {
  // Key after key, faster than any pause.
  await page.$eval(listeners, (field) => {
    for (const value of ['', '2', '24']) {
      (field as HTMLInputElement).value = value;
      field.dispatchEvent(new InputEvent('input', { bubbles: true }));
    }
  });
  await expect.poll(() => page.textContent('[data-finds-part]')).toContain('24 listeners were asked about');
  expect(asked).toHaveLength(1);
  expect(asked[0]).toMatchObject({ 'risks.alpha': '0.05', handling: 'two-person', 'primary.first': 'p2' });
  expect(asked[0]?._csrf).toBeTruthy();
  expect(await page.textContent('[data-finds-said]')).toContain('up to date');
});

test('when it can’t be worked out, the old figures stay and it is said', async () => {
  fails = true;
  await page.fill(listeners, '24');
  await expect.poll(() => page.textContent('[data-finds-said]')).toContain('could not be worked out');
  expect(await page.textContent('[data-finds-part]')).toContain('19 min');
});

test('what the analysis does with “no preference” is asked only while it is offered', async () => {
  const rule = page.locator('[data-no-preference-rule]');
  expect(await rule.isVisible()).toBe(true);
  await page.uncheck('[id="noPreference.offered"]');
  expect(await rule.isVisible()).toBe(false);
});

test('the words by which listeners know prototypes are asked for only with the closing question', async () => {
  const words = page.locator('[data-closing-words]');
  expect(await words.isVisible()).toBe(false);
  await page.check('[id="closingQuestion.asked"]');
  expect(await words.isVisible()).toBe(true);
});

test('sessions ask for gap, span and the missed one only where there are several', async () => {
  const several = page.locator('[data-several]');
  const visible = async () => [
    await page.isVisible('[id="sessions.minimumGapHours"]'),
    await several.last().isVisible(),
  ];
  expect(await page.inputValue('[id="sessions.count"]')).toBe('1');
  expect(await visible()).toEqual([false, false]);
  await page.fill('[id="sessions.count"]', '3');
  expect(await visible()).toEqual([true, true]);
});

test('with renders nothing is asked about hands and units, and with a player at the seat both', async () => {
  const seen = async () => [
    await page.locator('[id="prototypes.0.units.0.serial"]').isVisible(),
    await page.locator('#handling').isVisible(),
    await page.locator('#excerpts').isVisible(),
    await page.locator('[id="levels.staleDays"]').isVisible(),
    await page.locator('[id="sound.alignment"]').isVisible(),
  ];
  expect(await seen()).toEqual([true, true, false, true, false]);
  await page.check('#playback-renders');
  expect(await seen()).toEqual([false, false, true, false, true]);
  expect(await page.locator('[id="sound.match.low"]').isVisible()).toBe(false);
  await page.check('[id="sound.match.kind-band"]');
  expect(await page.locator('[id="sound.match.low"]').isVisible()).toBe(true);
  await page.check('#playback-seat-player');
  expect(await seen()).toEqual([true, true, true, true, false]);
  await page.check('#playback-none');
  expect(await seen()).toEqual([true, true, false, false, false]);
  // What isn't shown is sent, so that it is kept.
  await expect.poll(() => asked.at(-1)?.['sound.match.low']).toBe('300');
});

test('the piece is asked for only where the rest is one; what is wrong shows all the same', async () => {
  shown = 'impressions';
  await page.reload();
  const item = page.locator('[id="firstImpression.reset.item"]');
  expect(await item.isVisible()).toBe(false);
  await page.check('[id="firstImpression.reset.kind-neutral"]');
  expect(await item.isVisible()).toBe(true);
  await item.fill('A cello');
  await page.check('[id="firstImpression.reset.kind-silence"]');
  expect(await item.isVisible()).toBe(false);
  await expect.poll(() => asked.at(-1)?.['firstImpression.reset.item']).toBe('A cello');
  shown = 'wrong-together';
  await page.reload();
  await page.fill('[id="sessions.count"]', '1');
  expect(await page.isVisible('[id="sessions.maximumSpanDays"]')).toBe(true);
});

test('another aim, and a scale more: the page goes on where the hand was', async () => {
  const focused = () => page.evaluate(() => (document.activeElement as HTMLInputElement | null)?.value);
  await page.click('button[value="aim:profile"]');
  await page.waitForSelector('fieldset.scale');
  await expect.poll(focused).toBe('aim:profile');
  const before = await page.locator('fieldset.scale').count();
  await page.locator('button[value="add-scale:warmth"]').scrollIntoViewIfNeeded();
  await page.click('button[value="add-scale:warmth"]');
  await expect.poll(() => page.locator('fieldset.scale').count()).toBeGreaterThan(before);
  await expect.poll(focused).toBe('Air');
  expect(await page.evaluate(() => window.scrollY)).toBeGreaterThan(300);
  expect(pressed).toEqual(['aim:profile', 'add-scale:warmth']);
});

test('locking with unsaved changes is stopped and says so; without changes it goes through', async () => {
  expect(await page.isVisible('[data-unsaved]')).toBe(false);
  const before = await page.inputValue(listeners);
  await page.fill(listeners, '24');
  expect(await page.isVisible('[data-unsaved]')).toBe(true);
  await page.click('[data-lock] button.primary');
  expect(await page.textContent('[data-lock-says]')).toContain('Save it first');
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('Save the plan');
  expect(locked).toBe(0);
  await page.fill(listeners, before);
  await page.click('[data-lock] button.primary');
  await expect.poll(() => locked).toBe(1);
});
