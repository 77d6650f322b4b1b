import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { type Gallery, openGallery } from '../../browser/gallery';
import { launchChromium } from '../../support/chromium';

let gallery: Gallery;
let browser: Browser;
let page: Page;
beforeAll(async () => {
  [gallery, browser] = await Promise.all([
    openGallery({ filter: (file) => file === 'listen-check-in.ts' }),
    launchChromium(),
  ]);
  page = await browser.newPage({ viewport: { width: 360, height: 740 } });
});
afterAll(async () => {
  await browser?.close();
  await gallery?.close();
});

const ticked = () =>
  page.evaluate(() =>
    [...document.querySelectorAll<HTMLInputElement>('input[name="conditions"]:checked')].map(({ value }) => value),
  );
const tap = (value: string) => page.click(`label:has(input[value="${value}"])`);

test('what stands alone unticks the rest, and the rest unticks it', async () => {
  await page.goto(`${gallery.url}/listen/listen/check-in`);
  expect(await ticked()).toEqual([]);
  await tap('pain');
  await tap('tiredness');
  expect(await ticked()).toEqual(['pain', 'tiredness']);
  await tap('none');
  expect(await ticked()).toEqual(['none']);
  await tap('unsaid');
  expect(await ticked()).toEqual(['unsaid']);
  await tap('congestion');
  expect(await ticked()).toEqual(['congestion']);
  // Unticking ticks nothing.
  await tap('congestion');
  expect(await ticked()).toEqual([]);
});
