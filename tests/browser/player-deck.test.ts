import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { SoundHeard } from '../../client/phone/player';
import type { ListenPage } from '../../server/listen/view-models';
import { createViews } from '../../server/web/views';
import type { Interruption } from '../../shared/wire';
import { say } from '../../shared/words/say';
import { wav24Of } from '../client/phone/player/wav24-of';
import { launchChromium } from '../support/chromium';
import listen from '../views/examples/listen-listen';
import type { Lab } from './player-lab';
import { openPlayerPage, type PlayerPage, type ServedSound } from './player-page';

/** The player on the phone's page, with the page's own templates and a real audio context, over plain HTTP. */

let browser: Browser;
let context: BrowserContext;
let page: Page;
let server: PlayerPage;
const errors: string[] = [];
const views = createViews();

declare const window: { lab: Lab };

beforeAll(async () => {
  [browser, server] = await Promise.all([launchChromium(), openPlayerPage()]);
});
afterAll(async () => {
  await browser?.close();
  await server?.close();
});
beforeEach(async () => {
  errors.length = 0;
  context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  page = await context.newPage();
  page.on('pageerror', (error) => errors.push(error.message));
});
afterEach(async () => {
  await context.close();
  expect(errors).toEqual([]);
});

const rate = 48_000;
const frames = rate * 0.3;
/** Too soft to matter where somebody's loudspeaker is on. */
const sound = (index: number): ServedSound => ({
  body: wav24Of(
    rate,
    Array.from({ length: frames }, (_, at): [number, number] => [
      Math.round(Math.sin(at / 9) * 800 * (index + 1)),
      at % 99,
    ]),
  ),
});
const serve = (count: number, spoil: (sounds: ServedSound[]) => void = () => undefined): string => {
  const sounds = Array.from({ length: count }, (_, index) => sound(index));
  spoil(sounds);
  return server.serve(sounds, { rate, frames });
};

/** An example of the phone's page, with other addresses in it. */
function place(name: string, manifest: string): string {
  const found = listen.examples.find((example) => example.name === name);
  if (!found) throw new Error(`There is no example ${name}.`);
  const html = views.part('listen/parts/place', (found.model as ListenPage).part);
  return html.replaceAll(/data-manifest="[^"]*"/g, `data-manifest="${manifest.replaceAll('&', '&amp;')}"`);
}

/** Opens the page at a place and takes it over. */
async function at(html: string): Promise<void> {
  server.place = html;
  await page.goto(`${server.url}/place`);
  await page.waitForFunction(() => 'lab' in window);
  await page.evaluate(() => window.lab.takeOver());
}
/** A test has no time to listen for long. */
const shorter = (html: string): string => html.replace(/data-minimum="\d+"/, 'data-minimum="0.15"');
const eventually = <T>(ask: () => T | Promise<T>) => expect.poll(ask, { timeout: 20_000, interval: 30 });
const line = () => page.locator('[data-loading]').textContent();
const card = (number: number) => page.locator(`[data-card="${number}"]`);
const ready = () => eventually(line).toBe(say('player.loaded'));
const happened = () => page.evaluate(() => window.lab.happened);
const report = (): Promise<SoundHeard | null> => page.evaluate(() => window.lab.player?.report() ?? null);
const heardMs = async (): Promise<number> => (await report())?.heardMs[0] ?? 0;
const plays = () => page.evaluate(() => window.lab.player?.plays() ?? false);
const playButton = (key: 'player.play' | 'player.pause') => page.getByRole('button', { name: say(key), exact: true });
const confirm = () => page.getByRole('button', { name: say('asking.confirm'), exact: true });

test('a comparison: cards switch, each has to be heard, and only then it is answered', async () => {
  await at(shorter(place('comparing-three', serve(3))));
  await ready();
  expect(await page.locator('[data-card][aria-pressed="true"]').count()).toBe(0);
  expect(await plays()).toBe(false);
  expect(await report()).toBeNull();
  await card(2).tap();
  await eventually(happened).toEqual(['started']);
  expect(await card(2).getAttribute('aria-pressed')).toBe('true');
  expect(await plays()).toBe(true);
  // Nothing is spoken over it.
  expect(await page.locator('[data-loading]').getAttribute('aria-live')).toBe('off');
  const heardEnough = (number: number) =>
    eventually(() => page.locator(`[data-card-state="${number}"]`).textContent()).toBe(say('player.enough'));
  await heardEnough(2);
  await page.locator('.answer').first().click();
  expect(await confirm().isDisabled()).toBe(true);
  await page.evaluate(() => document.querySelector('form')?.requestSubmit());
  expect(await happened()).toEqual(['started']);
  await card(1).tap();
  await heardEnough(1);
  await card(3).tap();
  await heardEnough(3);
  await confirm().click();
  await eventually(happened).toEqual(['started', 'sent: answer']);
  await eventually(plays).toBe(false);
  const heard = await report();
  expect(heard?.contextRate).toBe(rate);
  expect(heard?.switches).toBe(2);
  expect(heard?.heardMs).toHaveLength(3);
  for (const ms of heard?.heardMs ?? []) expect(ms).toBeGreaterThanOrEqual(150);
  expect(new Set(heard?.sha256).size).toBe(3);
});

test('some seconds are repeated by a tap, for all cards alike, and by another the whole piece again', async () => {
  const long = (index: number): ServedSound => ({
    body: wav24Of(
      rate,
      Array.from({ length: rate * 6 }, (_, at): [number, number] => [
        Math.round(Math.sin(at / 9) * 800 * (index + 1)),
        0,
      ]),
    ),
  });
  await at(place('comparing-three', server.serve([long(0), long(1), long(2)], { rate, frames: rate * 6 })));
  await ready();
  const bit = page.getByRole('button', { name: say('player.bit'), exact: true });
  const place6 = async (): Promise<number> =>
    6 *
    Number(await page.locator('[data-position]').evaluate((track) => getComputedStyle(track).getPropertyValue('--at')));
  await card(1).tap();
  await eventually(happened).toEqual(['started']);
  await bit.tap();
  expect(await bit.getAttribute('aria-pressed')).toBe('true');
  expect(await plays()).toBe(true);
  await eventually(heardMs).toBeGreaterThan(3_300);
  // All of it would have got further by now.
  expect(await place6()).toBeLessThan(3);
  await card(2).tap();
  await eventually(() => card(2).getAttribute('aria-pressed')).toBe('true');
  await bit.tap();
  expect(await bit.getAttribute('aria-pressed')).toBe('false');
  expect(await plays()).toBe(true);
  expect((await report())?.switches).toBe(1);
  expect(await happened()).toEqual(['started']);
});

test('by keyboard: arrows go over the cards, and switch only while it plays', async () => {
  await at(place('comparing-three', serve(3)));
  await ready();
  await card(1).focus();
  await page.keyboard.press('ArrowRight');
  expect(await page.evaluate(() => document.activeElement?.getAttribute('data-card'))).toBe('2');
  expect(await happened()).toEqual([]);
  await page.keyboard.press('Space');
  await eventually(happened).toEqual(['started']);
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('ArrowLeft');
  await eventually(() => card(3).getAttribute('aria-pressed')).toBe('true');
  expect(await page.evaluate(() => document.activeElement?.getAttribute('data-card'))).toBe('3');
  await playButton('player.pause').focus();
  await page.keyboard.press('Enter');
  await eventually(plays).toBe(false);
  await playButton('player.play').waitFor();
});

test('paused it counts nothing, and goes on by a tap; another part of the same place keeps all of it', async () => {
  await at(shorter(place('listening-player', serve(1))));
  await ready();
  expect(await page.getByRole('button', { name: say('listening.next') }).isDisabled()).toBe(true);
  await playButton('player.play').tap();
  await eventually(() => page.getByRole('button', { name: say('listening.next') }).isDisabled()).toBe(false);
  // The part comes anew, as after a pause of the desk: it plays on.
  await page.evaluate(() => {
    const place = document.getElementById('place');
    if (place) place.innerHTML = String(place.innerHTML);
    window.lab.player?.shown();
  });
  expect(await plays()).toBe(true);
  expect(server.asked.filter((url) => url.startsWith('/listen/sound/')).length).toBe(
    new Set(server.asked.filter((url) => url.startsWith('/listen/sound/'))).size,
  );
  await playButton('player.pause').tap();
  await eventually(plays).toBe(false);
  const before = await heardMs();
  await page.waitForTimeout(200);
  expect(await heardMs()).toBe(before);
  await playButton('player.play').tap();
  await eventually(heardMs).toBeGreaterThan(before + 100);
  expect(await happened()).toEqual(['started']);
});

test('a first impression: told of once it sounds, plays once for its window, and stops while the scales are open', async () => {
  await at(place('starting-player', serve(1)).replaceAll(/data-seconds="\d+"/g, 'data-seconds="0.25"'));
  await ready();
  await page.getByRole('button', { name: say('starting.go.player') }).tap();
  await eventually(happened).toEqual(['started', 'sent: plays']);
  await page.getByText(say('question.rate')).waitFor();
  await eventually(plays).toBe(false);
  expect((await report())?.heardMs).toEqual([250]);
  // Nothing on the page starts it again.
  expect(await page.locator('[data-play], [data-card]').count()).toBe(0);
});

test('a page that was loaded within a first impression fetches and plays nothing', async () => {
  const manifest = serve(1);
  server.asked.length = 0;
  await at(place('rating-player', manifest));
  await page.waitForTimeout(100);
  expect(server.asked).toEqual([]);
  expect(await plays()).toBe(false);
});

/** What takes the sound away, as the page sees it. */
const takers: [Interruption, () => void][] = [
  [
    'hidden',
    () => {
      Object.defineProperty(document, 'visibilityState', { configurable: true, get: () => 'hidden' });
      document.dispatchEvent(new Event('visibilitychange'));
    },
  ],
  ['suspended', () => void window.lab.contexts[0]?.suspend()],
  ['output', () => void navigator.mediaDevices.dispatchEvent(new Event('devicechange'))],
  [
    'stalled',
    () => {
      const [one] = window.lab.contexts;
      const stands = one ? Number(one.currentTime) : 0;
      Object.defineProperty(one, 'currentTime', { configurable: true, get: () => stands });
    },
  ],
];
test.each(takers)('an interruption is told of and needs a tap to go on: %s', async (what, take) => {
  await page.addInitScript(() => {
    if (!navigator.mediaDevices) Object.defineProperty(navigator, 'mediaDevices', { value: new EventTarget() });
  });
  if (what === 'stalled') await page.clock.install();
  await at(place('listening-player', serve(1)));
  await ready();
  await playButton('player.play').tap();
  await eventually(happened).toEqual(['started']);
  await page.evaluate(take);
  // Twice: once to see where the clock is, once to see that it stands.
  if (what === 'stalled') for (const ms of [400, 2_000]) await page.clock.fastForward(ms);
  await eventually(happened).toEqual(['started', `interrupted: ${what}`]);
  await eventually(plays).toBe(false);
  expect(await line()).toBe(say('player.interrupted'));
  const before = await heardMs();
  await page.waitForTimeout(150);
  expect(await heardMs()).toBe(before);
  await page.evaluate(() => {
    Reflect.deleteProperty(document, 'visibilityState');
    const [one] = window.lab.contexts;
    if (one) Reflect.deleteProperty(one, 'currentTime');
  });
  await playButton('player.play').tap();
  await eventually(heardMs).toBeGreaterThan(before + 50);
  expect(await happened()).toEqual(['started', `interrupted: ${what}`]);
});

test('what is loading says so; what came spoilt says so and can be fetched again', async () => {
  const manifest = serve(2, ([first]) => {
    if (first) first.spoilt = ['flipped', 'flipped', 'flipped'];
  });
  await at(place('comparing-two', manifest));
  await eventually(line).toContain(say('player.failed'));
  expect(await card(1).isDisabled()).toBe(true);
  await page.getByRole('button', { name: say('player.again') }).click();
  await ready();
  expect(await card(1).isDisabled()).toBe(false);
});

test('a browser that holds the sound back: nothing counts as played, and the next tap tries anew', async () => {
  await page.clock.install();
  await at(place('listening-player', serve(1)));
  await ready();
  await page.evaluate(() => {
    AudioContext.prototype.resume = () => new Promise(() => undefined);
    Object.defineProperty(AudioContext.prototype, 'state', { configurable: true, get: () => 'suspended' });
  });
  await playButton('player.play').tap();
  await page.clock.fastForward(4_000);
  await eventually(line).toBe(say('player.blocked'));
  expect(await happened()).toEqual([]);
  expect(await report()).toBeNull();
  expect(await plays()).toBe(false);
  await page.evaluate(() => {
    Reflect.deleteProperty(AudioContext.prototype, 'state');
    Reflect.deleteProperty(AudioContext.prototype, 'resume');
  });
  await playButton('player.play').tap();
  await eventually(happened).toEqual(['started']);
  expect(await page.evaluate(() => window.lab.contexts.map(({ state }) => state))).toEqual(['closed', 'running']);
});

test('another trial drops what the last one had', async () => {
  await at(place('listening-player', serve(1)));
  await ready();
  await playButton('player.play').tap();
  await eventually(happened).toEqual(['started']);
  const next = place('listening-player', serve(1));
  await page.evaluate((html) => {
    const place = document.getElementById('place');
    if (place) place.innerHTML = html;
    window.lab.player?.shown();
  }, next);
  await ready();
  expect(await report()).toBeNull();
  expect(await plays()).toBe(false);
});

test('the check before: each ear once, in an order that the page draws, and a level sound that can be stopped', async () => {
  await at(place('sound-check', ''));
  const played = (name: string) => page.locator(`input[name="${name}_played"]`).inputValue();
  const tone = (key: 'sound-check.tone.1' | 'sound-check.tone.2') =>
    page.getByRole('button', { name: say(key), exact: true });
  await tone('sound-check.tone.1').tap();
  await tone('sound-check.tone.2').tap();
  expect([await played('first'), await played('second')].sort()).toEqual(['left', 'right']);
  const level = page.locator('[data-level]');
  await level.tap();
  expect(await level.textContent()).toBe(say('sound-check.level.stop'));
  await level.tap();
  expect(await level.textContent()).toBe(say('sound-check.level.play'));
  expect(await page.evaluate(() => window.lab.contexts[0]?.state)).toBe('running');
});
