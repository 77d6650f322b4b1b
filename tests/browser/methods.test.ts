import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DeskBrowser } from '../../server/demo/desk-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { launchChromium } from '../support/chromium';
import { handleAll, ledgerIn } from '../support/driver';
import { type RunningApp, runApp } from '../support/running-app';
import { actOnPhone, complaints, joinSession, kindOf, passphrase, password, withPhone } from './people';

/** One of each form, from the plan page to the verdict, played on phones in a real browser. */

let app: RunningApp;
let browser: Browser;
let desk: DeskBrowser;

beforeAll(async () => {
  app = await runApp();
  browser = await launchChromium();
  desk = new DeskBrowser(app.url, { name: 'Mira' });
  await desk.makeFirstAccount(app.code, { name: 'Mira', password });
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

const names = ['Aspen', 'Birch', 'Cedar', 'Dogwood'];
const base = (samples: number): PlanInMind => ({
  title: 'One of each form',
  question: 'What do they hear?',
  prototypes: names.slice(0, samples).map((name) => ({ name, units: [{ serial: `${name}-1` }] })),
  audiences: [{ name: 'Home', listeners: 1 }],
  handling: 'solo',
});

/** Planned by its page, locked, and one listener at a seat. */
async function begin(plan: PlanInMind, alias: string) {
  const study = await desk.plan(plan);
  await desk.lock(study, passphrase);
  await desk.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const phone = await withPhone(browser);
  await joinSession(phone, `${app.url}/j/${joinCode}`, alias);
  await handleAll(desk, study);
  return { study, phone };
}
type Begun = Awaited<ReturnType<typeof begin>>;

/** Desk and phone go on until the phone shows such a place. Answers with what stood there on the way. */
async function until({ study, phone }: Begun, fits: (kind: string) => Promise<boolean> | boolean): Promise<string[]> {
  const seen: string[] = [];
  for (let round = 0; round < 400; round++) {
    const kind = await kindOf(phone);
    if (await fits(kind)) return seen;
    if (kind === 'waiting') await handleAll(desk, study);
    seen.push((await phone.page.textContent('section.place').catch(() => '')) ?? '');
    // At what was seen and nothing else: a page that has gone on meanwhile would be answered before anybody looked.
    if (!(await actOnPhone(phone, kind))) await phone.page.waitForTimeout(20);
  }
  throw new Error('The sitting came to no end.');
}

/** To the end, and what the letter says. */
async function finish(begun: Begun): Promise<{ seen: string[]; letter: string; answers: string[] }> {
  const { study, phone } = begun;
  const seen = await until(begun, (kind) => kind === 'finished');
  await phone.context.close();
  await desk.close(study);
  const letter = (await desk.unseal(study, passphrase)).page.text('.letter');
  const answers = ledgerIn(app.folder).flatMap(({ kind, body, study_id }) =>
    kind === 'answered' && study.endsWith(study_id) ? [String(body.answer)] : [],
  );
  return { seen, letter, answers };
}

const confirm = (page: Page) => page.locator('.confirm button');
/** Everything that a thumb needs stands on the screen at once. */
const fitsScreen = (page: Page) =>
  page.evaluate(
    () => document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth,
  );

describe.concurrent('on a phone', () => {
  test('triangle, by place: no code stands on any page', async ({ expect }) => {
    const begun = await begin({ ...base(2), method: 'triangle', trials: 1 }, 'Juniper');
    await until(begun, (kind) => kind === 'asking');
    const { page } = begun.phone;
    expect(await page.locator('label.answer').allTextContents()).toEqual(['the first', 'the second', 'the third']);
    expect(await page.locator('.code').count()).toBe(0);
    expect(await confirm(page).isVisible()).toBe(false);
    const { seen, letter, answers } = await finish(begun);
    expect(answers).toEqual(['1', '1']);
    for (const place of seen) expect(place.replaceAll('\u2009', '')).not.toMatch(/(?<!\d)\d{3}(?!\d)/);
    expect(letter).toContain('not enough data');
  });

  test('tetrad: two are picked, the others step back, and one is taken back', async ({ expect }) => {
    const begun = await begin({ ...base(2), method: 'tetrad', trials: 1 }, 'Sorrel');
    await until(begun, (kind) => kind === 'asking');
    const { page } = begun.phone;
    expect(await fitsScreen(page)).toBe(true);
    const [first, second, third] = [0, 1, 2].map((at) => page.locator('label.answer').nth(at));
    await first?.click();
    expect(await confirm(page).isVisible()).toBe(false);
    await third?.click();
    expect(await confirm(page).isVisible()).toBe(true);
    expect(await second?.locator('input').isDisabled()).toBe(true);
    await third?.click();
    expect(await confirm(page).isVisible()).toBe(false);
    // What was picked is there again after a reload, and by keyboard.
    await page.reload();
    await page.waitForSelector('[data-whole="no"]');
    expect(await first?.locator('input').isChecked()).toBe(true);
    await second?.locator('input').focus();
    await page.keyboard.press('Space');
    await confirm(page).click();
    const { letter, answers } = await finish(begun);
    expect(answers).toEqual(['1+2', '1+4']);
    expect(letter).toContain('not enough data');
  });

  test('A–not-A: one is learnt, another is shown, then single samples', async ({ expect }) => {
    const begun = await begin({ ...base(2), method: 'a-not-a', trials: 2, showOther: true }, 'Fennel');
    const { seen, letter, answers } = await finish(begun);
    const listening = seen.filter((place) => place.includes('Listen to')).map((place) => place.replace(/\s+/g, ' '));
    expect(listening.filter((place) => place.includes('Learn this one. You will be asked about it.'))).not.toEqual([]);
    expect(listening.filter((place) => place.includes('Listen to another one'))).not.toEqual([]);
    expect(listening.at(-1)).toContain('Listen to the sample');
    expect(answers).toEqual(['yes', 'yes', 'yes']);
    expect(letter.toLowerCase()).toContain('not enough data');
  });

  test('ranking in incomplete blocks: each tap gives the next place, and those after one that is taken out close up', async ({
    expect,
  }) => {
    const begun = await begin({ ...base(4), method: 'ranking', size: 3, rankings: 4 }, 'Rowan');
    const { page } = begun.phone;
    // Practice has two to place.
    await until(begun, async (kind) => kind === 'asking' && (await page.locator('.placing > button').count()) === 3);
    expect(await fitsScreen(page)).toBe(true);
    const given = () => page.locator('.placing .given').allTextContents();
    const button = (at: number) => page.locator('.placing > button').nth(at);
    for (const at of [2, 0, 1]) await button(at).click();
    expect(await given()).toEqual(['2nd', '3rd', 'best']);
    expect(await confirm(page).isVisible()).toBe(true);
    await button(2).click();
    expect(await given()).toEqual(['best', '2nd', '']);
    expect(await confirm(page).isVisible()).toBe(false);
    await page.reload();
    await page.waitForSelector('[data-whole="no"]');
    expect(await given()).toEqual(['best', '2nd', '']);
    await button(2).press('Enter');
    const codes = (await page.locator('.placing > button .code').allTextContents()).map((code) =>
      code.replaceAll('\u2009', ''),
    );
    await confirm(page).click();
    const { letter, answers } = await finish(begun);
    expect(answers).toHaveLength(5);
    expect(answers[1]).toBe(codes.join('>'));
    expect(letter.toLowerCase()).toContain('not enough data');
  });
});

test('no browser had anything to complain of', () => {
  expect(complaints).toEqual([]);
});
