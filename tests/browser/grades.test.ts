import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { DeskBrowser } from '../../server/demo/desk-browser';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { launchChromium } from '../support/chromium';
import { handleAll, ledgerIn, passphrase as sealing } from '../support/driver';
import { type RunningApp, runApp } from '../support/running-app';
import { lockedIn } from '../support/sound-house';
import { gradeByThumb, hearAll } from './grading-hands';
import { actOnPhone, complaints, joinSession, kindOf, password, withPhone } from './people';

/** Samples that are graded, on phones in a real browser, by thumb and by keys, to the closed study. */

const clock = { at: new Date('2026-03-02T09:00:00Z') };
let app: RunningApp;
let browser: Browser;
let desk: DeskBrowser;

beforeAll(async () => {
  [app, browser] = await Promise.all([runApp(() => clock.at), launchChromium()]);
  desk = new DeskBrowser(app.url, { name: 'Mira' });
  await desk.makeFirstAccount(app.code, { name: 'Mira', password });
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

async function begin(alias: string, wish: PlanWish) {
  const plan = aPlan({ handling: 'solo', audiences: [['home', 1]], sound: { minimumSeconds: 1 }, ...wish });
  const { study } = await lockedIn(app, desk, 'Mira', plan, clock.at);
  if (plan.handling === 'solo') await desk.openSheet(study, sealing);
  const phone = await withPhone(browser);
  const begun = { study, phone, page: phone.page };
  await sit(begun, alias);
  return begun;
}
type Begun = Awaited<ReturnType<typeof begin>>;

async function sit({ study, phone }: Pick<Begun, 'study' | 'phone'>, alias: string): Promise<void> {
  const { joinCode } = await desk.openSession(study);
  await joinSession(phone, `${app.url}/j/${joinCode}`, alias);
  await handleAll(desk, study);
}

async function checkSound(page: Page): Promise<void> {
  for (const tone of ['first', 'second']) {
    await page.click(`[data-tone="${tone}"]`);
    const side = await page.inputValue(`input[name="${tone}_played"]`);
    await page.click(`label:has(input[name="${tone}_heard"][value="${side}"])`);
  }
  await page.click('label:has(input[name="connection"][value="wired"])');
  for (const box of await page.locator('label:has(input[name="checks"])').all()) await box.click();
  await page.click('.reach button');
}

/** Desk and phone go on until the phone shows such a place; on the way everything is graded by `grade`. */
async function until(
  { study, phone, page }: Begun,
  fits: (kind: string) => Promise<boolean> | boolean,
  grade = gradeByThumb,
): Promise<void> {
  for (let round = 0; round < 400; round++) {
    const kind = await kindOf(phone);
    if (await fits(kind)) return;
    const settled = (await page.locator('.kept').count()) === 0;
    if (kind === 'waiting') await handleAll(desk, study);
    else if (kind === 'sound-check') await checkSound(page);
    else if (kind === 'grading' && settled) await graded(page, () => grade(page));
    else if (!(await actOnPhone(phone, kind))) await page.waitForTimeout(20);
  }
  throw new Error('The sitting came to no end.');
}

/** Once what was sent was taken, and another place is there. */
async function graded(page: Page, send: () => Promise<void>): Promise<void> {
  // Place, trial and sample; a function of its own each time, since the page lets no text be run.
  const before = await page.evaluate(() =>
    [...document.querySelectorAll<HTMLInputElement>('[data-at] [name="trial"], [data-at] [name="presentation"]')]
      .map(({ value }) => value)
      .concat(document.querySelector<HTMLElement>('[data-kind]')?.dataset.at ?? '')
      .join(),
  );
  await send();
  await page.waitForFunction(
    (name) =>
      [...document.querySelectorAll<HTMLInputElement>('[data-at] [name="trial"], [data-at] [name="presentation"]')]
        .map(({ value }) => value)
        .concat(document.querySelector<HTMLElement>('[data-kind]')?.dataset.at ?? '')
        .join() !== name,
    before,
  );
}

async function finish(begun: Begun): Promise<void> {
  await begun.phone.context.close();
  expect((await desk.close(begun.study)).status).toBe(200);
}

/** A finger that comes down in the middle of something and moves by so much. */
async function touch(page: Page, on: Locator, [x, y]: [x: number, y: number]): Promise<void> {
  await on.scrollIntoViewIfNeeded();
  const box = (await on.boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
  const at = (share: number) => [
    { x: Math.min(350, box.x + box.width / 2 + x * share), y: box.y + box.height / 2 + y * share },
  ];
  const finger = await page.context().newCDPSession(page);
  await finger.send('Emulation.setTouchEmulationEnabled', { enabled: true });
  await finger.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: at(0) });
  for (let step = 1; step <= 8; step++) {
    await finger.send('Input.dispatchTouchEvent', { type: 'touchMove', touchPoints: at(step / 8) });
  }
  await finger.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
  await finger.detach();
}

const answersOf = (study: string, practice = false) =>
  ledgerIn(app.folder).flatMap(({ kind, body, study_id }) =>
    kind === 'answered' && study.endsWith(study_id) && body.practice === practice
      ? [body as { grades: { place: number; scale: string; value: number }[]; ticks: { attributes: string[] }[] }]
      : [],
  );

const confirm = (page: Page) => page.locator('.grading .confirm');
const fitsScreen = (page: Page) =>
  page.evaluate(
    () => document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth,
  );
const isAt =
  (page: Page, at: string, practice = false) =>
  async (kind: string) =>
    kind === 'grading' &&
    (await page.locator(`[data-at="${at}"]`).count()) === 1 &&
    ((await page.textContent('.progress')) === 'Practice') === practice;

describe.concurrent('on a phone', () => {
  test('several with units: one at the ear, then all once more, which survives a reload and is changed', async ({
    expect,
  }) => {
    const begun = await begin('Juniper', { method: 'several-stimuli', prototypes: 3, scales: ['liking', 'bass'] });
    const { page } = begun;
    await until(begun, isAt(page, 'one'));
    expect(await fitsScreen(page)).toBe(true);
    expect(await page.locator('#status').getAttribute('aria-live')).toBe('off');
    expect(await page.locator('.filled').textContent()).toBe('0 of 2 answered');
    await page.locator('.point').nth(2).click();
    expect(await page.locator('.filled').textContent()).toBe('1 of 2 answered');
    expect(await confirm(page).isVisible()).toBe(false);
    await until(begun, isAt(page, 'again'));
    expect(await page.locator('.filled').textContent()).toBe('3 of 3 rated');
    const place = (sample: number, scale: string) => page.locator(`[name="grade_${sample}_${scale}"]`);
    expect(await place(2, 'bass').nth(-2).isChecked()).toBe(true);
    await place(2, 'bass').first().click();
    await page.reload();
    await page.locator('[data-whole="yes"]').waitFor();
    expect([await place(2, 'bass').first().isChecked(), await place(3, 'liking').nth(-2).isChecked()]).toEqual([
      ...[true, true],
    ]);
    await graded(page, () => confirm(page).click());
    await until(begun, (kind) => kind === 'finished');
    const [answer] = answersOf(begun.study);
    const bass = answer?.grades.filter(({ scale }) => scale === 'bass').map(({ value }) => value);
    expect(bass).toEqual([6, 1, 6]);
    await finish(begun);
  });

  test('beside a reference: a line is tapped, dragged and stepped, and rating stops no sound', async ({ expect }) => {
    const begun = await begin('Sorrel', { method: 'reference-and-anchors', prototypes: 2, anchors: [3500] });
    const { page } = begun;
    await until(begun, isAt(page, 'together'));
    const card = (place: number) => page.locator(`[data-card="${place}"]`);
    const number = (place: number) => page.locator(`[name="grade_${place}_quality"]`);
    const track = (place: number) =>
      page
        .locator('.graded-card')
        .nth(place - 1)
        .locator('[data-track]');
    expect(await page.locator('.graded-card').count()).toBe(4);
    expect(await card(1).textContent()).toContain('Reference');
    expect(await page.locator('.marker:visible').count()).toBe(0);
    await card(2).click();
    const state = () => page.locator('[data-player]').getAttribute('data-state');
    await expect.poll(state).toBe('playing');
    // A tap sets it; a drag moves it; keys and buttons move it by one.
    const box = (await track(2).boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
    expect(box.height).toBeGreaterThanOrEqual(44);
    await track(2).click({ position: { x: box.width / 2, y: 24 } });
    expect(await number(2).inputValue()).toBe('50');
    await touch(page, track(2), [box.width, 0]);
    expect(await number(2).inputValue()).toBe('100');
    const [less, more] = ['[data-less]', '[data-more-of]'].map((one) => page.locator(one).first());
    expect([await more?.isDisabled(), await less?.isDisabled()]).toEqual([true, false]);
    await less?.click();
    await number(2).press('ArrowDown');
    expect(await number(2).inputValue()).toBe('98');
    // What only scrolls sets nothing.
    const from = await page.evaluate(() => scrollY);
    await touch(page, track(3), [0, from > 100 ? 160 : -160]);
    await page.waitForFunction((before) => scrollY !== before, from);
    expect([await number(3).inputValue(), await page.locator('.filled').textContent()]).toEqual(['', '1 of 3 rated']);
    expect(await state()).toBe('playing');
    // All is rated, and not all was heard.
    for (const place of [3, 4]) await track(place).click();
    expect([await confirm(page).isVisible(), await confirm(page).isDisabled()]).toEqual([true, true]);
    expect(await state()).toBe('playing');
    // What sounds is paused by its own card.
    await card(2).click();
    await expect.poll(state).toBe('stopped');
    await hearAll(page);
    await graded(page, () => confirm(page).click());
    await until(begun, (kind) => kind === 'finished');
    const [answer] = answersOf(begun.study);
    expect(answer?.grades.map(({ place, value }) => [place, value])).toEqual([
      [2, 98],
      [3, 50],
      [4, 50],
    ]);
    await finish(begun);
  }, 60_000);

  test('small impairments by keys alone, in tenths', async ({ expect }) => {
    const begun = await begin('Fennel', { method: 'small-impairments', prototypes: 2 });
    const { page } = begun;
    await until(begun, isAt(page, 'together'));
    const focus = async (selector: string) => {
      for (let step = 0; step < 60; step++) {
        if (await page.evaluate((wanted) => document.activeElement?.matches(wanted), selector)) return;
        await page.keyboard.press('Tab');
      }
      throw new Error(`${selector} can’t be reached by keys.`);
    };
    await focus('[data-card="1"]');
    await page.keyboard.press('Enter');
    await expect.poll(() => page.locator('[data-player]').getAttribute('data-state')).toBe('playing');
    for (const place of [1, 2, 3]) {
      if (place > 1) await page.keyboard.press('ArrowDown');
      await page.locator(`[data-card-state="${place}"]:not(:empty)`).waitFor();
    }
    await focus('[name="tenths_2_impairment"]');
    await page.keyboard.type('4.3');
    // The one big key of a phone goes on and sends nothing.
    await page.keyboard.press('Enter');
    expect(await page.evaluate(() => document.activeElement?.getAttribute('name'))).toBe('tenths_3_impairment');
    await page.keyboard.type('6');
    expect(await confirm(page).isVisible()).toBe(false);
    await page.keyboard.press('ControlOrMeta+A');
    await page.keyboard.type('5');
    await focus('.confirm');
    await graded(page, () => page.keyboard.press('Enter'));
    await until(begun, (kind) => kind === 'finished');
    expect(answersOf(begun.study)[0]?.grades.map(({ value }) => value)).toEqual([43, 50]);
    await finish(begun);
  }, 60_000);

  test('just about right, then words: pages are turned, none stands alone, nothing goes by halves', async ({
    expect,
  }) => {
    const right = await begin('Rowan', {
      method: 'just-about-right',
      prototypes: 2,
      attributes: ['bass', 'treble', 'fit'],
    });
    await until(right, isAt(right.page, 'one'));
    expect(await right.page.locator('.scale:visible').count()).toBe(2);
    expect(await right.page.locator('.ends:visible').nth(1).textContent()).toContain('just about right');
    expect(await fitsScreen(right.page)).toBe(true);
    await until(right, (kind) => kind === 'finished');
    expect(answersOf(right.study).map(({ grades }) => grades.length)).toEqual([4, 4]);
    await finish(right);

    const words = await begin('Aster', { method: 'check-all', prototypes: 2, liked: true });
    const { page } = words;
    await until(words, isAt(page, 'one'));
    await page.locator('.point:visible').nth(3).click();
    await page.click('[data-next]');
    const box = (value: string) => page.locator(`input[name="tick_1"][value="${value}"]`);
    const label = (value: string) => page.locator(`label:has(input[value="${value}"])`);
    expect(await confirm(page).isVisible()).toBe(false);
    await label('warm').click();
    await label('boomy').click();
    await label('-').click();
    expect([await box('warm').isChecked(), await box('-').isChecked()]).toEqual([false, true]);
    await label('bright').click();
    expect([await box('bright').isChecked(), await box('-').isChecked()]).toEqual([true, false]);
    await page.reload();
    await page.locator('[data-whole="yes"]').waitFor();
    expect([await box('bright').isChecked(), await box('-').isChecked()]).toEqual([true, false]);
    await graded(page, () => confirm(page).click());
    await until(words, (kind) => kind === 'finished');
    expect(answersOf(words.study)[0]?.ticks).toEqual([{ place: 1, attributes: ['bright'] }]);
    await finish(words);
  });
});

test('a profile over two days', async () => {
  const begun = await begin('Linden', {
    method: 'attribute-profile',
    prototypes: 2,
    sessions: 2,
    gapHours: 18,
    spanDays: 7,
    scales: ['brightness', 'bass', 'warmth', 'stage-width'],
  });
  await until(begun, isAt(begun.page, 'one'));
  expect(await begun.page.locator('.meant').first().textContent()).toContain('What is meant by');
  await until(begun, (kind) => kind === 'finished');
  await handleAll(desk, begun.study);
  await desk.closeSession(begun.study);
  clock.at = new Date(clock.at.getTime() + 20 * 3_600_000);
  const second = await withPhone(browser);
  await begun.page.goto(`${app.url}/listen/link`);
  const link = await begun.page.inputValue('#link');
  await begun.phone.context.close();
  const { joinCode } = await desk.openSession(begun.study);
  await second.page.goto(link);
  await second.page.goto(`${app.url}/j/${joinCode}`);
  await second.page.click('label:has(input[name="seen"][value="no"])');
  await second.page.click('main form button');
  await second.page.click('label:has(input[name="conditions"][value="none"])');
  await second.page.click('label:has(input[name="outside"][value="no"])');
  await second.page.click('.reach button');
  await second.page.click('button:has-text("I agree")');
  await second.page.waitForSelector('[data-kind="unseated"]');
  await handleAll(desk, begun.study);
  const again = { ...begun, phone: second, page: second.page };
  await until(again, (kind) => kind === 'finished');
  expect(answersOf(begun.study).map(({ grades }) => grades.length)).toEqual([4, 4, 4, 4]);
  await finish(again);
});

test('no browser had anything to complain of', () => {
  expect(complaints).toEqual([]);
});
