import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { launchChromium } from '../support/chromium';
import { type Gallery, openGallery } from './gallery';

/** In and out points on the waveform: by keys, by finger, and in step with the fields that are sent. */

let gallery: Gallery;
let browser: Browser;
let page: Page;

beforeAll(async () => {
  gallery = await openGallery({ filter: (file) => ['prepare-sound.ts', 'prepare-levels.ts'].includes(file) });
  browser = await launchChromium();
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  page = await context.newPage();
});
afterAll(async () => {
  await browser?.close();
  await gallery?.close();
});

const field = (name: string) => page.inputValue(`[data-cut] [name="${name}"]`);
const handle = (name: string) => page.locator(`.wave-handle[aria-label="${name}"]`);
const edge = (name: string) => page.locator(`[data-wave-${name}]`).getAttribute('x1');

test('keys and fields move them, and neither passes the other', async () => {
  await page.goto(`${gallery.url}/prepare/sound/normal`);
  const before = await edge('from');
  await handle('In point').focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  expect([await field('from'), await field('to')]).toEqual(['1.35', '9.25']);
  expect(await handle('In point').getAttribute('aria-valuenow')).toBe('1.350');
  expect(Number(await edge('from'))).toBeGreaterThan(Number(before));
  await page.keyboard.press('End');
  expect(await field('from')).toBe('9.25');
  await page.keyboard.press('Home');
  expect(await field('from')).toBe('0');
  await page.fill('[data-cut] [name="to"]', '12,5');
  expect(await edge('to')).toBe('1000.0');
  expect(await page.locator('[data-wave-cut]').getAttribute('width')).toBe('1000.0');
});

test('a finger draws them along', async () => {
  await page.goto(`${gallery.url}/prepare/sound/normal`);
  await page.locator('.wave').scrollIntoViewIfNeeded();
  const stage = (await page.locator('.wave-stage').boundingBox()) ?? { x: 0, y: 0, width: 0, height: 0 };
  const y = stage.y + stage.height / 2;
  await page.mouse.move(stage.x + (9.25 / 12.5) * stage.width, y);
  await page.mouse.down();
  await page.mouse.move(stage.x + stage.width / 2, y, { steps: 4 });
  await page.mouse.up();
  expect(Number(await field('to'))).toBeCloseTo(6.25, 1);
  // Let go is let go.
  await page.mouse.move(stage.x, y);
  expect(Number(await field('to'))).toBeCloseTo(6.25, 1);
});

test('a response comes from a file into the field that is sent', async () => {
  await page.goto(`${gallery.url}/prepare/levels/normal`);
  const text = 'frequency_hz,level_db\n100,1\n';
  await page.setInputFiles('#response-file', { name: 'unit.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await expect.poll(() => page.inputValue('#response')).toBe(text);
});
