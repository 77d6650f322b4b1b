import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { builtFaults, colourFaults } from '../support/axe';
import { launchChromium } from '../support/chromium';
import { csrf } from '../views/examples/branded';
import { enoughPages } from './enough-pages';
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
  page = await newTab();
  paths = gallery.paths.filter(({ layout }) => layout === 'phone').map(({ path }) => path);
});
async function newTab(): Promise<Page> {
  const tab = await context.newPage();
  tab.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(`${tab.url()}: ${message.text()}`);
  });
  tab.on('pageerror', (error) => complaints.push(`${tab.url()}: ${error.message}`));
  return tab;
}
afterAll(async () => {
  await browser?.close();
  await gallery?.close();
});

const built = builtFaults();
const colours = colourFaults();

/** Everything that is wrong with the page as it stands, by what was looked at. */
async function faultsOf(tab: Page): Promise<Record<string, string[]>> {
  const wider = () =>
    tab.evaluate(() => {
      const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
      return over > 0 ? [`${over} px wider than the screen`] : [];
    });
  await tab.setViewportSize({ width: 360, height: 740 });
  await tab.emulateMedia({ colorScheme: 'light' });
  const light = [...(await built(tab)), ...(await colours(tab))];
  // What depends on colour once more in the dark; the rest is the same page.
  await tab.emulateMedia({ colorScheme: 'dark' });
  const dark = await colours(tab);
  const thumb = await tab.evaluate(smallTargets);
  await tab.setViewportSize({ width: 320, height: 568 });
  const narrow = await wider();
  await tab.setViewportSize({ width: 360, height: 740 });
  const large = [...(await tab.evaluate(cutWhenLarge)), ...(await wider())];
  return { light, dark, thumb, narrow, large };
}

function smallTargets(): string[] {
  const faults: string[] = [];
  document.querySelector<HTMLInputElement>('input[name="answer"]')?.click();
  document.querySelector('details')?.setAttribute('open', '');
  for (const target of document.querySelectorAll('a, button, summary, textarea, input:not([type="hidden"])')) {
    const box = (target.closest('label') ?? target).getBoundingClientRect();
    if (!target.checkVisibility({ visibilityProperty: true })) continue;
    // The links of the summary of problems stand in sentences.
    const inText = target.closest('.problems');
    const least = target.matches('[name="answer"], .tall') ? 56 : inText ? 24 : 44;
    // Nine places of a scale share the width of the phone.
    const across = target.closest('.point') ? 36 : 44;
    if (box.height < least || box.width < across) {
      faults.push(`${target.outerHTML.slice(0, 100)} is ${box.width} × ${box.height}`);
    }
  }
  const answers = [...document.querySelectorAll('.answer')]
    .filter((a) => a.checkVisibility())
    .map((a) => a.getBoundingClientRect());
  if (new Set(answers.map(({ width, height }) => `${width} × ${height}`)).size > 1) faults.push('answers differ');
  return faults;
}

function cutWhenLarge(): string[] {
  document.documentElement.style.fontSize = '200%';
  const size = Number.parseFloat(getComputedStyle(document.body).fontSize);
  // The name of a scale is broken between words, never within one.
  for (const name of document.querySelectorAll<HTMLElement>('legend')) name.style.overflowWrap = 'normal';
  const cut = [...document.querySelectorAll<HTMLElement>('h1, p, li, button, legend, .choice')]
    .filter((e) => e.checkVisibility() && e.scrollWidth > e.clientWidth + 1 && e.clientWidth > 1)
    .map((e) => `cut: ${e.outerHTML.slice(0, 100)}`);
  return size < 32 ? [...cut, `text stays at ${size} px`] : cut;
}

test('there is something to look at', () => {
  expect(paths.length).toBeGreaterThan(30);
});

const viewOf = (path: string): string => path.replace(/\/[^/]*$/, '');
/** What kind of place a page of a sitting shows. */
const placeIn = (path: string): string => /data-kind="([^"]+)"/.exec(gallery.html(path))?.[1] ?? '';

/** Where each kind of place has its way to stop. */
const corners = new Map<string, Set<string>>();

test('all that pages are built of: axe, light and dark; targets for a thumb; 320 px; text of 200 %', async () => {
  const found: Record<string, string[]> = {};
  // A place of each kind is among them, as is a page of each view.
  const waiting = enoughPages(
    paths.map((path) => ({ path, view: `${viewOf(path)} ${placeIn(path)}`, html: gallery.html(path) })),
  );
  expect(waiting.length).toBeGreaterThan(25);
  const walk = async (tab: Page) => {
    for (let path = waiting.pop(); path; path = waiting.pop()) {
      const response = await tab.goto(gallery.url + path);
      if (response?.status() !== 200) found[path] = [`status ${response?.status()}`];
      if (path.startsWith('/listen/listen/')) {
        const where = await tab.evaluate(() => {
          const stop = document.querySelector('#stop summary');
          if (!stop?.checkVisibility()) return 'none';
          const { x, y } = stop.getBoundingClientRect();
          return `${x},${y}`;
        });
        corners.set(where, (corners.get(where) ?? new Set()).add(placeIn(path)));
      }
      for (const [what, faults] of Object.entries(await faultsOf(tab))) {
        if (faults.length > 0) found[`${path}, ${what}`] = faults;
      }
    }
  };
  const second = await newTab();
  await Promise.all([walk(page), walk(second)]);
  await second.close();
  await page.emulateMedia({ colorScheme: 'light' });
  expect(found).toEqual({});
});

test('the walk finds what is wrong', async () => {
  await page.goto(`${gallery.url}/listen/listen/asking-two`);
  await page.evaluate(() => {
    document.querySelector('label span')?.remove();
    for (const button of document.querySelectorAll<HTMLElement>('.tall')) button.style.minHeight = '20px';
    const wide = document.createElement('p');
    wide.textContent = 'x'.repeat(20);
    wide.style.cssText = 'white-space: nowrap; width: 330px; font-size: 30px; color: #888';
    document.querySelector('main')?.append(wide);
  });
  const { light, dark, thumb, narrow, large } = await faultsOf(page);
  expect(light?.join()).toContain('label');
  expect(dark?.length ?? 0).toBeLessThanOrEqual(1);
  expect(thumb?.length).toBeGreaterThan(0);
  expect(narrow?.join()).toContain('wider');
  expect(large?.join()).toContain('cut');
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

test('three scales and their button fit on a phone at once, and nothing moves when the last place is set', async () => {
  await page.goto(`${gallery.url}/listen/listen/rating`);
  await page.evaluate(() => sessionStorage.clear());
  await page.reload();
  const confirm = page.getByRole('button', { name: 'Confirm' });
  const first = page.locator('.scale').first();
  const before = await first.boundingBox();
  for (const scale of ['brightness', 'bass', 'liking']) {
    expect(await confirm.isVisible()).toBe(false);
    await page.locator(`[name="scale_${scale}"]`).nth(2).tap();
  }
  expect(await confirm.isVisible()).toBe(true);
  expect(await first.boundingBox()).toEqual(before);
  const button = await confirm.boundingBox();
  expect((button?.y ?? 0) + (button?.height ?? 0)).toBeLessThanOrEqual(740);
  await page.evaluate(() => sessionStorage.clear());
});

test('a scale reads as its name, its place and its ends, and all places are as large', async () => {
  await page.setViewportSize({ width: 320, height: 568 });
  await page.goto(`${gallery.url}/listen/listen/rating-long`);
  const points = page.locator('.scale').first().locator('.point');
  const sizes = await points.evaluateAll((all) => all.map((one) => one.getBoundingClientRect()));
  await page.setViewportSize({ width: 360, height: 740 });
  expect(sizes).toHaveLength(9);
  for (const { width, height } of sizes) {
    expect(width).toBeGreaterThanOrEqual(32);
    expect(height).toBeGreaterThanOrEqual(44);
    expect(width).toBeCloseTo(sizes[0]?.width ?? 0, 0);
  }
  await page.goto(`${gallery.url}/listen/listen/rating`);
  const group = page.getByRole('group', { name: 'Brightness' });
  expect(await group.getByRole('radio').count()).toBe(7);
  await group.getByRole('radio', { name: 'Brightness, 2 of 7, dark … bright' }).waitFor();
});

test('without a script all scales stand on one page, the rest can be left, and nothing is carried ahead', async () => {
  const plain = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false });
  const tab = await plain.newPage();
  await tab.goto(`${gallery.url}/listen/listen/resetting`);
  expect(await tab.getByRole('button', { name: 'Go on' }).isVisible()).toBe(true);
  await tab.goto(`${gallery.url}/listen/listen/starting`);
  expect(await tab.locator('form[data-act]').count()).toBe(1);
  await tab.goto(`${gallery.url}/listen/listen/rating-six`);
  expect(await tab.locator('.scale:visible').count()).toBe(6);
  const confirm = tab.getByRole('button', { name: 'Confirm' });
  for (const scale of ['brightness', 'bass', 'liking', 'stage-width', 'naturalness', 'comfort']) {
    expect(await confirm.isVisible()).toBe(false);
    await tab.locator(`[name="scale_${scale}"]`).first().click();
  }
  const [request] = await Promise.all([tab.waitForRequest((r) => r.method() === 'POST'), confirm.click()]);
  expect(Object.fromEntries(new URLSearchParams(request.postData() ?? ''))).toMatchObject({
    kind: 'rate',
    scale_brightness: '-3',
    'scale_stage-width': '1',
  });
  await tab.goto(`${gallery.url}/listen/listen/grades-right`);
  expect(await tab.locator('.scale:visible').count()).toBe(4);
  for (const scale of ['liking', 'bass', 'treble', 'fit']) {
    expect(await confirm.isVisible()).toBe(false);
    await tab.locator(`[name="grade_1_${scale}"]`).first().click();
  }
  const [graded] = await Promise.all([tab.waitForRequest((r) => r.method() === 'POST'), confirm.click()]);
  expect(Object.fromEntries(new URLSearchParams(graded.postData() ?? ''))).toMatchObject({
    kind: 'grade',
    grade_1_liking: '-4',
    grade_1_fit: '-2',
  });
  await tab.goto(`${gallery.url}/listen/listen/elsewhere`);
  const [here] = await Promise.all([
    tab.waitForRequest((r) => r.method() === 'POST'),
    tab.getByRole('button', { name: 'Go on here' }).click(),
  ]);
  expect([new URL(here.url()).pathname, here.postData()]).toEqual(['/listen/here', `_csrf=${csrf}`]);
  await plain.close();
});

test('stop stands in the same corner at every kind of place, while there is something to stop', () => {
  expect([...(corners.get('none') ?? [])].sort()).toEqual(['closed', 'finished', 'guessing', 'out', 'postponed']);
  expect(corners.size).toBe(2);
  const places = paths.filter((path) => path.startsWith('/listen/listen/')).map(placeIn);
  expect(new Set([...corners.values()].flatMap((all) => [...all]))).toEqual(new Set(places));
});

test('a page that says what was wrong has the focus there', async () => {
  await page.goto(`${gallery.url}/listen/join/all-wrong`);
  await expect.poll(() => page.evaluate(() => document.activeElement?.hasAttribute('data-problems'))).toBe(true);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await expect.poll(() => page.evaluate(() => document.activeElement?.id)).toBe('alias');
});

test('without a script the same form posts the same answer', async () => {
  const plain = await browser.newContext({ viewport: { width: 360, height: 740 }, javaScriptEnabled: false });
  const tab = await plain.newPage();
  await tab.goto(`${gallery.url}/listen/listen/asking-three`);
  expect(await tab.getByRole('button', { name: 'Confirm' }).isVisible()).toBe(false);
  await tab.getByText('No preference').click();
  const [request] = await Promise.all([
    tab.waitForRequest((r) => r.method() === 'POST'),
    tab.getByRole('button', { name: 'Confirm' }).click(),
  ]);
  expect(new URL(request.url()).pathname).toBe('/listen/act');
  expect(Object.fromEntries(new URLSearchParams(request.postData() ?? ''))).toMatchObject({
    _csrf: csrf,
    kind: 'answer',
    answer: 'none',
  });
  await tab.goto(`${gallery.url}/listen/listen/waiting-next`);
  expect(await tab.getByRole('link', { name: 'Look again' }).isVisible()).toBe(true);
  await tab.locator('#stop summary').click();
  expect(await tab.getByRole('button', { name: 'Yes, stop' }).isVisible()).toBe(true);
  await plain.close();
});

test('no page complained, and none broke the content policy', () => {
  expect(complaints).toEqual([]);
});
