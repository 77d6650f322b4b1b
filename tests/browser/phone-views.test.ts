import { AxeBuilder } from '@axe-core/playwright';
import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { launchChromium } from '../support/chromium';
import { type Gallery, openGallery } from './gallery';

let gallery: Gallery;
let browser: Browser;
let context: BrowserContext;
let page: Page;
let paths: string[];
const complaints: string[] = [];

beforeAll(async () => {
  [gallery, browser] = await Promise.all([
    openGallery({ filter: (file) => file.startsWith('listen-') }),
    launchChromium(),
  ]);
  context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  page = await context.newPage();
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(`${page.url()}: ${message.text()}`);
  });
  page.on('pageerror', (error) => complaints.push(`${page.url()}: ${error.message}`));
  paths = gallery.paths.filter(({ layout }) => layout === 'phone').map(({ path }) => path);
});
afterAll(async () => {
  await browser?.close();
  await gallery?.close();
});

/** Goes through every example and collects what is wrong, so that one run names them all. */
async function throughAll(look: (path: string) => Promise<string[]>): Promise<string[]> {
  const found: string[] = [];
  for (const path of paths) {
    const response = await page.goto(gallery.url + path);
    if (response?.status() !== 200) found.push(`${path}: status ${response?.status()}`);
    for (const fault of await look(path)) found.push(`${path}: ${fault}`);
  }
  return found;
}

const wider = () =>
  page.evaluate(() => {
    const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    return over > 0 ? [`${over} px wider than the screen`] : [];
  });

test('there is something to look at', () => {
  expect(paths.length).toBeGreaterThan(30);
});

test.each(['light', 'dark'] as const)('axe finds nothing in any state (%s)', async (colorScheme) => {
  await page.emulateMedia({ colorScheme });
  const found = await throughAll(async () => {
    const axe = new AxeBuilder({ page });
    // What depends on colour once more in the dark; the rest is the same page.
    const { violations } = await (colorScheme === 'dark'
      ? axe.withRules(['color-contrast', 'link-in-text-block'])
      : axe
    ).analyze();
    return violations.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
  });
  expect(found).toEqual([]);
});

test('axe finds something where something is wrong', async () => {
  await page.goto(`${gallery.url}/listen/listen/asking-two`);
  await page.evaluate(() => document.querySelector('label span')?.remove());
  const { violations } = await new AxeBuilder({ page }).analyze();
  expect(violations.map(({ id }) => id)).toContain('label');
});

test('answers and main buttons are 56 px high, everything else is large enough for a thumb', async () => {
  const found = await throughAll(() =>
    page.evaluate(() => {
      const faults: string[] = [];
      document.querySelector<HTMLInputElement>('input[name="answer"]')?.click();
      document.querySelector('details')?.setAttribute('open', '');
      for (const target of document.querySelectorAll('a, button, summary, textarea, input:not([type="hidden"])')) {
        const box = (target.closest('label') ?? target).getBoundingClientRect();
        if (!target.checkVisibility({ visibilityProperty: true })) continue;
        const least = target.matches('[name="answer"], .tall') ? 56 : target.matches('.own-link') ? 24 : 44;
        // The links of the summary of problems stand in a list of sentences.
        const enough = target.closest('.problems') ? 24 : least;
        if (box.height < enough || box.width < 44) {
          faults.push(`${target.outerHTML.slice(0, 100)} is ${box.width} × ${box.height}`);
        }
      }
      const answers = [...document.querySelectorAll('.answer')].map((a) => a.getBoundingClientRect());
      if (new Set(answers.map(({ width, height }) => `${width} × ${height}`)).size > 1) faults.push('answers differ');
      return faults;
    }),
  );
  expect(found).toEqual([]);
});

test('nothing scrolls sideways at 320 px, nor with text of 200 %', async () => {
  await page.setViewportSize({ width: 320, height: 568 });
  const narrow = await throughAll(wider);
  await page.setViewportSize({ width: 360, height: 740 });
  const large = await throughAll(async () => {
    await page.evaluate(() => {
      document.documentElement.style.fontSize = '200%';
    });
    const grown = await page.evaluate(() => Number.parseFloat(getComputedStyle(document.body).fontSize));
    const cut = await page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('h1, p, li, button, .choice')]
        .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1)
        .map((e) => `cut: ${e.outerHTML.slice(0, 100)}`),
    );
    return [...(await wider()), ...cut, ...(grown < 32 ? [`text stays at ${grown} px`] : [])];
  });
  expect([...narrow, ...large]).toEqual([]);
});

test('the answers are within the thumb’s reach and do not move when confirm appears', async () => {
  await page.goto(`${gallery.url}/listen/listen/asking-three`);
  // A choice that another test made here would come back.
  await page.evaluate(() => sessionStorage.clear());
  await page.reload();
  const confirm = page.getByRole('button', { name: 'Confirm' });
  expect(await confirm.isVisible()).toBe(false);
  const before = await page.locator('.answer').first().boundingBox();
  expect(before?.y).toBeGreaterThan(740 / 2);
  await page.locator('.answer').first().tap();
  expect(await confirm.isVisible()).toBe(true);
  expect(await page.locator('.answer').first().boundingBox()).toEqual(before);
  const button = await confirm.boundingBox();
  expect((button?.y ?? 0) + (button?.height ?? 0)).toBeLessThanOrEqual(740);
});

test('stop stands in the same corner on every page of a sitting, while there is something to stop', async () => {
  const corners = new Map<string, string[]>();
  for (const path of paths.filter((p) => /listen\/(listen|check-in|consent)\//.test(p))) {
    await page.goto(gallery.url + path);
    const box = await page.locator('#stop summary').boundingBox();
    const where = box ? `${box.x},${box.y}` : 'none';
    corners.set(where, [...(corners.get(where) ?? []), path.split('/').at(-1) ?? '']);
  }
  expect(corners.get('none')?.sort()).toEqual(['closed', 'finished', 'finished-link', 'out']);
  expect(corners.size).toBe(2);
});

test('a page that says what was wrong has the focus there', async () => {
  await page.goto(`${gallery.url}/listen/join/all-wrong`);
  await expect.poll(() => page.evaluate(() => document.activeElement?.hasAttribute('data-problems'))).toBe(true);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('alias');
});

test('no page complained, and none broke the content policy', () => {
  expect(complaints).toEqual([]);
});
