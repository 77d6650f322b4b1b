import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { measure } from '../../server/audio/loudness';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { programme } from '../audio/programme';
import { readWav24 } from '../audio/read-wav24';
import { wavBytes } from '../audio/wav-bytes';
import { launchChromium } from '../support/chromium';
import { ledgerIn } from '../support/driver';
import { type RunningApp, runApp } from '../support/running-app';
import { atLaptop, complaints, joinSession, kindOf, type Person, passphrase, password, withPhone } from './people';

/** Sound from the file that somebody brings to the verdict, in real browsers with their real audio clock. */

let app: RunningApp;
let browser: Browser;
let planner: StaffBrowser;
const rate = 48_000;

beforeAll(async () => {
  app = await runApp();
  browser = await launchChromium();
  planner = new StaffBrowser(app.url, { name: 'Mira' });
  await planner.makeFirstAccount(app.code, { name: 'Mira', password });
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

/** A laptop of its own for each job, since they go on side by side: most of their time is spent listening. */
async function atDesk(): Promise<Person> {
  const desk = await atLaptop(browser);
  await desk.page.goto(`${app.url}/account/sign-in`);
  await desk.page.fill('#name', 'Mira');
  await desk.page.fill('#password', password);
  await desk.page.click('main form button:not([hidden])');
  await desk.page.waitForURL(`${app.url}/`);
  return desk;
}

function loudnessOf(file: Buffer): number {
  const { left, right } = readWav24(file);
  const channels = [left, right].map((channel) => Float32Array.from(channel, (sample) => sample / 2 ** 23));
  return measure({ rate, channels }).integrated ?? 0;
}

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
async function bringAndMatch({ page }: Person, study: string, first: string, second: string): Promise<void> {
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

async function openAndJoin({ page }: Person, study: string, alias: string): Promise<Person> {
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

const answeredIn = (study: string) =>
  ledgerIn(app.folder).findLast(
    ({ kind, body, study_id }) => kind === 'answered' && body.practice === false && study.endsWith(study_id),
  )?.body.sound as { heardMs: number[]; switches: number } | undefined;

interface Seen {
  url: string;
  headers: Record<string, string>;
  body: Buffer;
}

describe.concurrent('in a browser', () => {
  test('ABX from uploaded audio to the verdict, whose files tell nothing but by ear', async ({ expect }) => {
    const seen: Seen[] = [];
    const desk = await atDesk();
    const study = await planner.plan({
      ...base,
      title: 'Vents by ear',
      question: 'Can they hear it?',
      method: 'abx',
      trials: 1,
    });
    await planner.lock(study, passphrase);
    await bringAndMatch(desk, study, file('narrow.wav'), file('wide.wav', { gain: 0.7, dull: 0.5 }));
    const phone = await openAndJoin(desk, study, 'Juniper');
    phone.page.on('response', async (response) => {
      if (!/\/listen\/sound\//.test(response.url())) return;
      const { date: _, ...headers } = response.headers();
      seen.push({ url: new URL(response.url()).pathname, headers, body: await response.body() });
    });
    await checkSound(phone);
    // Whoever reaches for Stop hears nothing from then on, before anything is asked or sent; and may go on.
    await phone.page.waitForSelector('[data-kind="comparing"] [data-card]:not(:disabled)');
    const player = phone.page.locator('[data-player]');
    await phone.page.click('[data-card="1"]');
    await expect.poll(() => player.getAttribute('data-state')).toBe('playing');
    await phone.context.setOffline(true);
    await phone.page.click('#stop > summary');
    await expect.poll(() => player.getAttribute('data-state')).toBe('stopped');
    await phone.page.keyboard.press('Escape');
    await phone.context.setOffline(false);
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
    const sound = answeredIn(study);
    expect(sound?.heardMs.every((heard) => heard >= 1_000)).toBe(true);
    expect(sound?.switches).toBeGreaterThanOrEqual(2);
    // Two trials of three: no header, size, duration or pattern of address differs, and no two are one.
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
  }, 90_000);

  test('a first impression plays once for its window and stops by the audio clock', async ({ expect }) => {
    const desk = await atDesk();
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
    await bringAndMatch(desk, study, file('narrow-2.wav'), file('wide-2.wav', { dull: 0.5 }));
    const phone = await openAndJoin(desk, study, 'Sorrel');
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
    const heard = answeredIn(study)?.heardMs[0];
    expect(heard).toBeGreaterThan(4_950);
    expect(heard).toBeLessThan(5_050);
  }, 90_000);

  test('units are handed over, and the page plays each a file with its own trim in it', async ({ expect }) => {
    const desk = await atDesk();
    const study = await planner.plan({
      ...base,
      title: 'Vents in hand',
      question: 'Which one do they prefer?',
      prototypes: [
        { name: 'Narrow vent', units: [{ serial: 'NV-001' }] },
        { name: 'Wide vent', units: [{ serial: 'WV-001' }] },
      ],
      turns: 1,
      handling: 'two-person',
      playback: 'seat-player',
    });
    await planner.lock(study, passphrase);
    const { page } = desk;
    // The second is 4 dB louder, and its files are that much lower.
    for (const [unit, level] of [
      ['NV-001', '96'],
      ['WV-001', '100'],
    ] as const) {
      await page.goto(`${app.url}${study}/levels`);
      const option = page.locator('#unit option', { hasText: unit });
      await page.selectOption('#unit', (await option.getAttribute('value')) ?? '');
      for (const ear of ['left', 'right']) await page.fill(`#${ear}`, level);
      await page.fill('#measuredOn', new Date().toISOString().slice(0, 10));
      await page.fill('#device', 'Coupler and meter of the bench');
      await page.fill('#method', 'A tone of 1 kHz, three fits');
      await page.click('form[data-levels] button.primary');
      await page.waitForURL(/levels/);
    }
    await page.goto(`${app.url}${study}/sound`);
    await page.setInputFiles('form[data-upload] input[type="file"]', file('programme.wav'));
    await page.click('form[data-upload] button');
    await page.waitForSelector('.sound-name');
    await page.click('form[data-match] button');
    await page.waitForSelector('table.lines');
    const phone = await openAndJoin(desk, study, 'Fennel');
    const bodies: Buffer[] = [];
    phone.page.on('response', async (response) => {
      if (/\/listen\/sound\//.test(response.url())) bodies.push(await response.body());
    });
    await phone.page.click('label:has(input[name="connection"][value="wired"])');
    for (const box of await phone.page.locator('label:has(input[name="checks"])').all()) await box.click();
    await phone.page.click('.reach button');
    for (let sample = 0; sample < 2; sample++) {
      await phone.page.waitForSelector('[data-kind="waiting"]');
      await page.locator('.hands form[data-hand] button').first().click();
      await phone.page.click('button:has-text("It fits and seals")');
      const heard = phone.page.locator('button:has-text("Heard it")');
      await phone.page.waitForSelector('[data-kind="listening"] button[data-play]:not(:disabled)');
      expect(await heard.isDisabled()).toBe(true);
      await phone.page.click('button[data-play]');
      await expect.poll(() => heard.isEnabled(), { timeout: 8_000 }).toBe(true);
      await heard.click();
    }
    await phone.page.waitForSelector('[data-kind="asking"]');
    expect(bodies).toHaveLength(2);
    const levels = bodies.map((body) => loudnessOf(body)).sort((a, b) => a - b);
    expect((levels[1] ?? 0) - (levels[0] ?? 0)).toBeCloseTo(4, 1);
    expect(new Set(bodies.map(({ length }) => length)).size).toBe(1);
  }, 90_000);
});

test('no browser had anything to complain of', () => {
  expect(complaints).toEqual([]);
});
