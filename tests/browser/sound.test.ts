import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { PlanInMind } from '../../server/demo/plan-form';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { programme } from '../audio/programme';
import { wavBytes } from '../audio/wav-bytes';
import { launchChromium } from '../support/chromium';
import { ledgerIn } from '../support/driver';
import { type RunningApp, runApp } from '../support/running-app';
import { atLaptop, complaints, joinSession, kindOf, type Person, passphrase, password, withPhone } from './people';

/** Sound from the file that somebody brings to the verdict, in real browsers with their real audio clock. */

let app: RunningApp;
let browser: Browser;
let planner: StaffBrowser;
let desk: Person;
const rate = 48_000;

beforeAll(async () => {
  app = await runApp();
  browser = await launchChromium();
  planner = new StaffBrowser(app.url, { name: 'Mira' });
  await planner.makeFirstAccount(app.code, { name: 'Mira', password });
  desk = await atLaptop(browser);
  await desk.page.goto(`${app.url}/account/sign-in`);
  await desk.page.fill('#name', 'Mira');
  await desk.page.fill('#password', password);
  await desk.page.click('main form button:not([hidden])');
  await desk.page.waitForURL(`${app.url}/`);
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

/** The same invented piece at two levels and with two tunings, as files. */
function file(name: string, { gain = 1, dull = 0 } = {}): string {
  const { channels } = programme(7, 8, rate);
  const tuned = channels.map((channel) => {
    let low = 0;
    return channel.map((sample) => {
      low += 0.25 * (sample - low);
      return gain * (sample + dull * (low - sample));
    });
  });
  const path = join(app.folder, name);
  writeFileSync(path, wavBytes({ rate, coding: 's24', channels: tuned }));
  return path;
}

const base = {
  prototypes: [
    { name: 'Narrow vent', units: [] },
    { name: 'Wide vent', units: [] },
  ],
  audiences: [{ name: 'Stage', listeners: 1 }],
  handling: 'server' as const,
  playback: 'renders' as const,
  excerpts: ['Plucked and struck'],
  sound: { minimumSeconds: 1 },
};

/** Brings two files and matches them, by the page. */
async function bringAndMatch(study: string, first: string, second: string): Promise<void> {
  const { page } = desk;
  await page.goto(`${app.url}${study}/sound`);
  for (const [at, path] of [first, second].entries()) {
    const form = page.locator('form[data-upload]').nth(at);
    await form.locator('input[type="file"]').setInputFiles(path);
    await form.locator('button').click();
    await expect.poll(() => page.locator('.sound-name').count()).toBe(at + 1);
  }
  await page.click('form[data-match] button');
  await page.waitForSelector('table.lines');
}

async function openAndJoin(study: string, alias: string): Promise<Person> {
  const { page } = desk;
  await page.goto(`${app.url}${study}/run`);
  await page.click('#open-session button');
  const link = page.locator('.join-url, [data-join-url]').first();
  const url = (await link.textContent())?.trim() ?? '';
  const phone = await withPhone(browser);
  await joinSession(phone, url, alias);
  await page.click('button:has-text("Seat")');
  await phone.page.waitForSelector('[data-kind="sound-check"]');
  return phone;
}

/** Hears the tones where they were played, and sees to everything. */
async function checkSound({ page }: Person): Promise<void> {
  for (const tone of ['first', 'second']) {
    await page.click(`[data-tone="${tone}"]`);
    const side = await page.inputValue(`input[name="${tone}_played"]`);
    await page.click(`label:has(input[name="${tone}_heard"][value="${side}"])`);
  }
  await page.click('label:has(input[name="connection"][value="wired"])');
  for (const box of await page.locator('label:has(input[name="checks"])').all()) await box.click();
  await page.click('.reach button');
}

describe('ABX from uploaded audio to the verdict', () => {
  const plan: PlanInMind = { ...base, title: 'Vents by ear', question: 'Can they hear it?', method: 'abx', trials: 1 };
  const seen: { url: string; headers: Record<string, string>; body: Buffer }[] = [];

  test('two files are brought, matched, heard on cards and told apart or not', async () => {
    const study = await planner.plan(plan);
    await planner.lock(study, passphrase);
    await bringAndMatch(study, file('narrow.wav'), file('wide.wav', { gain: 0.7, dull: 0.5 }));
    const phone = await openAndJoin(study, 'Juniper');
    phone.page.on('response', async (response) => {
      if (!/\/listen\/sound\//.test(response.url())) return;
      const { date: _, ...headers } = response.headers();
      seen.push({ url: new URL(response.url()).pathname, headers, body: await response.body() });
    });
    await checkSound(phone);
    for (let trial = 0; trial < 2; trial++) {
      await phone.page.waitForSelector('[data-kind="comparing"] [data-card]:not(:disabled)');
      const confirm = phone.page.locator('.confirm button');
      await phone.page.locator('label.answer').first().click();
      expect(await confirm.isDisabled()).toBe(true);
      const id = await phone.page.inputValue('input[name="trial"]');
      for (const card of [1, 2, 3]) {
        await phone.page.click(`[data-card="${card}"]`);
        await expect
          .poll(() => phone.page.locator(`[data-card-state="${card}"]`).textContent(), { timeout: 8_000 })
          .toBe('heard');
      }
      await confirm.click();
      await expect
        .poll(() =>
          phone.page
            .locator('input[name="trial"]')
            .count()
            .then(async (there) => there === 0 || (await phone.page.inputValue('input[name="trial"]')) !== id),
        )
        .toBe(true);
    }
    expect(await kindOf(phone)).toBe('finished');
    await planner.close(study);
    const unsealed = await planner.unseal(study, passphrase);
    expect(unsealed.body).toContain('Not enough data');
    expect(unsealed.body).toContain('Double blind');
    const [answered] = ledgerIn(app.folder).filter(({ kind, body }) => kind === 'answered' && body.practice === false);
    const sound = answered?.body.sound as { heardMs: number[]; switches: number };
    expect(sound.heardMs.every((heard) => heard >= 1_000)).toBe(true);
    expect(sound.switches).toBeGreaterThanOrEqual(2);
  }, 60_000);

  test('the files of a trial differ in no header, size, duration or pattern of address, and no two are one', () => {
    expect(seen).toHaveLength(6);
    const [first] = seen;
    for (const { url, headers, body } of seen) {
      expect(url).toMatch(/^\/listen\/sound\/[A-Za-z0-9_-]{43}$/);
      expect(headers).toEqual(first?.headers);
      expect(body.length).toBe(first?.body.length);
      expect(body.subarray(0, 44)).toEqual(first?.body.subarray(0, 44));
    }
    expect(new Set(seen.map(({ url }) => url)).size).toBe(6);
    expect(new Set(seen.map(({ body }) => body.toString('latin1'))).size).toBe(6);
    expect(first?.headers['cache-control']).toBe('no-store');
  });
});

test('a first impression plays once for its window and stops by the audio clock', async () => {
  const study = await planner.plan({
    ...base,
    title: 'Vents at first',
    question: 'How do they strike?',
    method: 'first-impressions',
    scales: ['liking', 'bass'],
    windowSeconds: 5,
    answerSeconds: 20,
    reset: { seconds: 5 },
    hiddenRepeats: 0,
  });
  await planner.lock(study, passphrase);
  await bringAndMatch(study, file('narrow-2.wav'), file('wide-2.wav', { dull: 0.5 }));
  const phone = await openAndJoin(study, 'Sorrel');
  const { page } = phone;
  await checkSound(phone);
  const rate = async () => {
    for (const scale of await page.locator('fieldset.scale').all()) await scale.locator('label.point').nth(1).click();
  };
  await page.waitForSelector('[data-kind="rating"]');
  await rate();
  await page.click('button:has-text("Confirm")');
  await page.waitForSelector('[data-kind="resetting"]');
  await page.click('button:has-text("Go on")', { timeout: 15_000 });
  await page.waitForSelector('[data-kind="starting"] button[data-play]:not(:disabled)');
  await page.click('button[data-play]');
  await page.waitForSelector('[data-kind="rating"]');
  expect(await page.locator('[data-over]').textContent()).toContain('After 5 seconds it stops');
  await rate();
  await expect.poll(() => page.locator('[data-over]').textContent(), { timeout: 12_000 }).toContain('It has stopped');
  await page.click('button:has-text("Confirm")');
  await page.waitForSelector('[data-kind="resetting"]');
  const answered = ledgerIn(app.folder).findLast(({ kind, body }) => kind === 'answered' && body.practice === false);
  const { heardMs: [heard = 0] = [] } = (answered?.body.sound ?? {}) as { heardMs?: number[] };
  expect(heard).toBeGreaterThan(4_950);
  expect(heard).toBeLessThan(5_050);
}, 60_000);

test('no browser had anything to complain of', () => {
  expect(complaints).toEqual([]);
});
