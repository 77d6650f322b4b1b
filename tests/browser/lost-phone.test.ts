import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { words } from '../../shared/words/en';
import { launchChromium } from '../support/chromium';
import { smallPlan } from '../support/driver';
import { type RunningApp, runApp } from '../support/running-app';
import { actOnPhone, fillDoor, joinSession, kindOf, passphrase, password, withPhone } from './people';

/** A card was lost, and the new one ends every link before it, while a phone still keeps an answer. */

let app: RunningApp;
let browser: Browser;
let desk: DeskBrowser;

beforeAll(async () => {
  [app, browser] = await Promise.all([runApp(), launchChromium()]);
  desk = new DeskBrowser(app.url, { name: 'Mira' });
  await desk.makeFirstAccount(app.code, { name: 'Mira', password });
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

test('the answer waits on the phone, is sent in nobody else’s name, and comes in with the new card', async () => {
  const study = await desk.plan({ ...smallPlan, handling: 'solo' });
  await desk.lock(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const phone = await withPhone(browser);
  const { page } = phone;
  await joinSession(phone, `${app.url}/j/${joinCode}`, 'Heron');
  for (const { seat } of (await desk.look(study)).arrivals) if (seat) await desk.act(seat);
  // Nothing but these two is pressed: the page may be at the question by now, and its answer is for later.
  const onward = page.locator('button:has-text("It fits and seals"), button:has-text("Heard it")').first();
  while ((await kindOf(phone)) !== 'asking') {
    for (const { form } of (await desk.look(study)).hands) if (form) await desk.act(form);
    if ((await onward.count()) > 0) await onward.click({ timeout: 1000 }).catch(() => {});
  }

  await phone.context.setOffline(true);
  await actOnPhone(phone);
  await expect.poll(() => page.textContent('#status')).toContain('Saved on this phone');
  const kept = () => page.evaluate(() => Object.keys(localStorage).filter((key) => key.includes('.act.')).length);
  expect(await kept()).toBe(1);
  const panel = (await desk.open(`${study}/run/panel`)).page;
  const lost = await desk.send(panel.form('form[action$="/run/card"]'));
  const instead = await desk.send(lost.page.form('#card-instead'));
  const path = new URL(instead.page.text('.listener-card-link')).pathname;

  await phone.context.setOffline(false);
  await expect.poll(() => page.textContent('#status')).toContain(words['status.signed-out']);
  await page.goto(`${app.url}/listen`);
  expect(await page.textContent('main')).toContain('was ended at the desk');

  // Somebody else joins on this phone: the answer is not theirs.
  await fillDoor(phone, `${app.url}/j/${joinCode}`, 'Otter', 'no');
  await page.waitForURL(/\/listen\/link$/);
  await page.click('a:has-text("Go on")');
  await page.waitForSelector('[data-kind="check-in"]');
  expect(await kept()).toBe(1);

  await page.goto(`${app.url}${path}`);
  await expect.poll(kept).toBe(0);
  await expect.poll(() => kindOf(phone)).toBe('words');
}, 90_000);
