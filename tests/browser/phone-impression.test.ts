import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { ListenPage, PlacePart } from '../../server/listen/view-models';
import type { Act } from '../../shared/wire';
import { say } from '../../shared/words/say';
import { launchChromium } from '../support/chromium';
import listen from '../views/examples/listen-listen';
import { newPhonePage, openPhoneStage, type PhoneStage } from './phone-stage';

/** A first impression on a phone: the rest, the first sound, the window and the scales. Its time is turned by hand. */

const part = (name: string): PlacePart => {
  const found = listen.examples.find((example) => example.name === name);
  if (!found) throw new Error(`There is no example ${name}.`);
  return (found.model as ListenPage).part;
};
const rating = part('rating');
const finished = part('finished');
const after: Partial<Record<Act['kind'], PlacePart>> = {
  rested: part('fitting-still'),
  fits: part('starting'),
  plays: rating,
  resumed: rating,
  rate: finished,
};

let browser: Browser;
let context: BrowserContext;
let page: Page;
let stage: PhoneStage;
const errors: string[] = [];

beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser?.close());
beforeEach(async () => {
  errors.length = 0;
  page = await newPhonePage(browser, errors);
  context = page.context();
  await page.clock.install();
});
afterEach(async () => {
  await context.close();
  await stage.close();
  expect(stage.faults).toEqual([]);
  expect(errors).toEqual([]);
});

const eventually = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: 20_000, interval: 30 });
async function at(first: PlacePart, next: (act: Act) => PlacePart = (act) => after[act.kind] ?? first): Promise<void> {
  stage = await openPhoneStage(first, next);
  await page.goto(stage.url);
  await eventually(() => stage.asked).toBe(1);
}
const heading = (name: string) => page.getByRole('heading', { level: 1, name }).waitFor();
const button = (key: Parameters<typeof say>[0]) => page.getByRole('button', { name: say(key), exact: true });
const place = (scale: string, value: number) => page.locator(`input[name="scale_${scale}"][value="${value}"]`);
const ring = () => page.locator('.gone').getAttribute('stroke-dashoffset').then(Number);
const line = () => page.locator('[data-over]');
const kinds = () => stage.came.map(({ kind }) => kind);
const rated = () => {
  const found = stage.came.find((act) => act.kind === 'rate');
  if (found?.kind !== 'rate') throw new Error('Nothing was rated.');
  return found;
};
const touchOf = (scale: string) => rated().ratings.find((one) => one.scale === scale)?.touched;

test('from the rest to the answer by keyboard alone: nothing is spoken while it plays, and no place is set before', async () => {
  await at(part('resetting'));
  expect(await button('resetting.go').isVisible()).toBe(false);
  expect(await page.locator('.ring').isVisible()).toBe(true);
  await page.clock.fastForward(5_000);
  await eventually(ring).toBeLessThan(0.6);
  expect(await button('resetting.go').isVisible()).toBe(false);
  await page.clock.fastForward(6_000);
  await button('resetting.go').waitFor();
  expect(await ring()).toBe(0);
  expect(await line().textContent()).toBe(say('resetting.over'));

  const press = async (name: string) => {
    for (let i = 0; i < 12; i++) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement?.textContent?.trim())) === name) break;
    }
    await page.keyboard.press('Enter');
  };
  await press(say('resetting.go'));
  await page.getByText(say('fitting.still')).waitFor();
  await press(say('fitting.yes'));
  await page.getByText(say('starting.tap')).waitFor();
  await press(say('starting.go'));
  await heading(say('question.rate'));
  // The focus stands where nothing is read out, and the first Tab reaches the first scale.
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('');
  expect(await page.locator('[aria-live="polite"], [role="alert"], [role="status"]').count()).toBe(0);
  expect(await page.locator(':checked').count()).toBe(0);
  expect(await button('asking.confirm').isVisible()).toBe(false);
  await page.keyboard.press('Tab');
  expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe(
    'Brightness, 1 of 7, dark … bright',
  );
  await page.keyboard.press('Space');
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Space');
  await page.keyboard.press('Tab');
  expect(await button('asking.confirm').isVisible()).toBe(false);
  await page.keyboard.press('ArrowLeft');
  await page.clock.fastForward(10_000);
  await eventually(() => line().textContent()).toBe(say('rating.after'));
  expect(await line().getAttribute('aria-live')).toBe('polite');
  expect(await page.locator('#status').getAttribute('aria-live')).toBe('polite');
  await press(say('asking.confirm'));
  await heading(say('finished.title'));

  expect(kinds()).toEqual(['rested', 'fits', 'plays', 'rate']);
  expect(stage.came.slice(0, 3).map(({ times }) => times.sincePlaying)).toEqual([null, null, null]);
  expect(rated().ratings.map(({ scale, value }) => [scale, value])).toEqual([
    ['brightness', -2],
    ['bass', 1],
    ['liking', 3],
  ]);
  for (const scale of ['brightness', 'bass', 'liking']) expect(touchOf(scale)?.sincePlaying).toBeLessThan(10_000);
  expect(rated().times.sincePlaying).toBeGreaterThanOrEqual(10_000);
});

test('the first touch of each scale counts, by the monotonic clock, and a late one is taken without a word', async () => {
  await at(part('starting'));
  await button('starting.go').tap();
  await heading(say('question.rate'));
  const scale = await page.locator('.scale').first().elementHandle();
  await eventually(kinds).toEqual(['plays']);
  await page.clock.fastForward(3_000);
  await place('brightness', 1).tap();
  // What came back from the server was the same place: a finger on its way lost nothing.
  await eventually(() => page.locator('#place').getAttribute('data-version')).toBe('2');
  expect(await scale?.evaluate((element) => element.isConnected)).toBe(true);
  await page.clock.fastForward(20_000);
  await place('brightness', -1).tap();
  await place('bass', 5).tap();
  await page.clock.fastForward(40_000);
  await place('liking', 0).tap();
  expect(await page.locator('.problems').count()).toBe(0);
  await button('asking.confirm').tap();
  await heading(say('finished.title'));
  const since = ['brightness', 'bass', 'liking'].map((scale) => touchOf(scale)?.sincePlaying ?? 0);
  expect(since[0]).toBeGreaterThanOrEqual(3_000);
  expect(since[0]).toBeLessThan(20_000);
  expect(since[1]).toBeGreaterThanOrEqual(23_000);
  expect(since[2]).toBeGreaterThanOrEqual(63_000);
  expect(rated().ratings.map(({ value }) => value)).toEqual([-1, 5, 0]);
  const wall = (touchOf('liking')?.wall ?? 0) - (stage.came[0]?.times.wall ?? 0);
  expect(wall).toBeGreaterThanOrEqual(63_000);
});

test('a reload within the window is said once; choices, first touches and the window go on', async () => {
  await at(part('starting'));
  await button('starting.go').tap();
  await heading(say('question.rate'));
  await page.clock.fastForward(2_000);
  await place('brightness', 2).tap();
  await eventually(kinds).toEqual(['plays']);
  await page.clock.fastForward(4_000);
  await page.reload();
  await eventually(kinds).toEqual(['plays', 'resumed']);
  await eventually(() => place('brightness', 2).isChecked()).toBe(true);
  expect(await page.locator('#status').getAttribute('aria-live')).toBe('off');
  expect(await ring()).toBeLessThan(0.5);
  await page.clock.fastForward(5_000);
  await eventually(() => line().textContent()).toBe(say('rating.after'));
  // What is shown anew of the same place takes nothing back.
  stage.push(rating);
  await place('bass', 4).tap();
  await place('liking', -1).tap();
  await button('asking.confirm').tap();
  await heading(say('finished.title'));
  expect(kinds()).toEqual(['plays', 'resumed', 'rate']);
  expect(touchOf('brightness')?.sincePlaying).toBeGreaterThanOrEqual(2_000);
  expect(touchOf('bass')?.sincePlaying).toBeNull();
  expect((touchOf('bass')?.wall ?? 0) - (stage.came[0]?.times.wall ?? 0)).toBeGreaterThanOrEqual(11_000);
  expect(rated().times.sincePlaying).toBeNull();
});

test('at the first sound the scales open without a network; everything is sent in order when there is one', async () => {
  await at(part('starting'));
  stage.setWeather('off');
  await button('starting.go').tap();
  await heading(say('question.rate'));
  await page.clock.fastForward(1_000);
  await place('bass', 7).tap();
  // A page that is loaded with the first sound still unsent stands in the window, too.
  await page.reload();
  await heading(say('question.rate'));
  for (const scale of ['brightness', 'liking']) await place(scale, 0).tap();
  await button('asking.confirm').tap();
  await eventually(() => place('bass', 7).isDisabled()).toBe(true);
  expect(kinds()).toEqual([]);
  stage.setWeather('fine');
  await page.clock.fastForward(20_000);
  await heading(say('finished.title'));
  expect([...new Set(kinds())]).toEqual(['plays', 'resumed', 'rate']);
  expect(rated().ratings.find(({ scale }) => scale === 'bass')).toMatchObject({ value: 7 });
  expect(touchOf('bass')?.sincePlaying).toBeGreaterThanOrEqual(1_000);
});

test('a first sound that was not taken leads back to where the sitting is', async () => {
  await at(part('starting'));
  stage.refuseNext('wrong-place', 'The sample was taken back.');
  await button('starting.go').tap();
  await page.getByText('The sample was taken back.').waitFor();
  await button('starting.go').tap();
  await heading(say('question.rate'));
  await eventually(kinds).toEqual(['plays', 'plays']);
});

test('going on with another phone counts as heard again; practice and a second tab don’t', async () => {
  await at(rating);
  await eventually(kinds).toEqual(['resumed']);
  expect(await line().textContent()).toBe(say('rating.window', { seconds: 10 }));
  // This phone doesn't know when it began, and shows no ring that stands still.
  expect(await page.locator('.ring').isVisible()).toBe(false);
  const twin = await context.newPage();
  stage.push(part('starting'));
  await twin.goto(stage.url);
  await eventually(() => stage.asked).toBe(2);
  stage.push(rating);
  await twin.getByRole('heading', { level: 1, name: say('question.rate') }).waitFor();
  await twin.close();
  stage.push(part('rating-practice'));
  await heading(say('rating.practice.title'));
  await page.reload();
  await eventually(() => stage.asked).toBe(3);
  await place('bass', 1).tap();
  expect(kinds()).toEqual(['resumed']);
});

test('four scales and more are turned over like leaves, and confirmed once', async () => {
  await at(part('rating-six'), (act) => (act.kind === 'rate' ? finished : part('rating-six')));
  await eventually(kinds).toEqual(['resumed']);
  const visible = () => page.locator('.scale:visible legend').allTextContents();
  expect(await visible()).toEqual(['Brightness', 'Bass', 'Liking']);
  expect(await button('asking.confirm').isVisible()).toBe(false);
  await place('brightness', 1).tap();
  await place('bass', 1).tap();
  await button('rating.next').tap();
  expect(await visible()).toEqual(['Stage width', 'Naturalness', 'Comfort']);
  for (const [scale, value] of [
    ['stage-width', 2],
    ['naturalness', 3],
    ['comfort', -3],
  ] as const) {
    await place(scale, value).tap();
  }
  expect(await button('asking.confirm').isVisible()).toBe(false);
  // Enter confirms nothing while a place is missing: it shows where.
  await place('comfort', -3).press('Enter');
  expect(await visible()).toEqual(['Brightness', 'Bass', 'Liking']);
  await place('liking', 0).tap();
  expect(await button('asking.confirm').isVisible()).toBe(false);
  await page.reload();
  await eventually(visible).toEqual(['Stage width', 'Naturalness', 'Comfort']);
  await button('rating.back').tap();
  expect(await place('liking', 0).isChecked()).toBe(true);
  await button('rating.next').tap();
  await button('asking.confirm').tap();
  await heading(say('finished.title'));
  expect(rated().ratings.map(({ scale }) => scale)).toHaveLength(6);
});

test('a pause takes nothing back', async () => {
  await at(part('starting'));
  await button('starting.go').tap();
  await heading(say('question.rate'));
  await place('bass', 2).tap();
  await eventually(kinds).toEqual(['plays']);
  stage.push(part('paused'));
  await heading(say('paused.title'));
  await page.clock.fastForward(30_000);
  stage.push(rating);
  await heading(say('question.rate'));
  expect(await place('bass', 2).isChecked()).toBe(true);
  await eventually(() => line().textContent()).toBe(say('rating.after'));
  expect(kinds()).toEqual(['plays']);
});

test('a rest goes on over a reload and a pause, and begins anew with another hand-over', async () => {
  const resting = part('resetting');
  await at(resting);
  await page.clock.fastForward(7_000);
  await page.reload();
  await eventually(ring).toBeLessThan(0.4);
  await page.clock.fastForward(4_000);
  await button('resetting.go').waitFor();
  stage.push(part('waiting-next'));
  await heading('Wait for 5\u20090\u20092');
  stage.push(resting);
  await heading(say('resetting.title'));
  expect(await button('resetting.go').isVisible()).toBe(false);
});

test('who wants no motion sees the ring change by quarters', async () => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await at(part('resetting'));
  await page.clock.fastForward(6_000);
  await eventually(ring).toBe(0.5);
});
