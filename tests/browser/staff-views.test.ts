import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { axeFaults, builtFaults, colourFaults } from '../support/axe';
import { launchChromium } from '../support/chromium';
import { pictureFaults } from '../support/picture-faults';
import { enoughPages } from './enough-pages';
import { type Gallery, openGallery } from './gallery';

let gallery: Gallery;
let browser: Browser;
let page: Page;
let paths: string[];
const complaints: string[] = [];

beforeAll(async () => {
  [gallery, browser] = await Promise.all([
    openGallery({ filter: (file) => !file.startsWith('listen-') }),
    launchChromium(),
  ]);
  const context = await browser.newContext();
  page = await context.newPage();
  page.on('console', (message) => {
    // The gallery shows pages, it doesn't answer: the desk asks for its part in vain there.
    if (message.location().url.endsWith('/run/part')) return;
    if (['error', 'warning'].includes(message.type())) complaints.push(`${page.url()}: ${message.text()}`);
  });
  page.on('pageerror', (error) => complaints.push(`${page.url()}: ${error.message}`));
  paths = gallery.paths.filter(({ layout }) => layout === 'staff').map(({ path }) => path);
});
afterAll(async () => {
  await browser?.close();
  await gallery?.close();
});

const wide = { width: 1280, height: 800 };
const narrow = { width: 360, height: 740 };

const colours = colourFaults();
const built = builtFaults();

const wider = () =>
  page.evaluate(() => {
    const over = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    return over > 0 ? [`${over} px wider than ${document.documentElement.clientWidth} px`] : [];
  });

/** Opens what is folded, so that it is looked at as well, and measures what can be pressed. */
const smallTargets = () =>
  page.evaluate(() => {
    for (const details of document.querySelectorAll('details')) details.open = true;
    const faults: string[] = [];
    for (const target of document.querySelectorAll('a, button, summary, select, input:not([type="hidden"])')) {
      // What only a keyboard or a screen reader meets has no size, and a link inside a sentence has the line's.
      if (!target.checkVisibility() || target.matches('.visually-hidden, .skip')) continue;
      if (target.matches('p > a:not(.button)')) continue;
      const { width, height } = target.getBoundingClientRect();
      const least = target.matches('button') ? 44 : 24;
      if (height < least || width < 24) faults.push(`${target.outerHTML.slice(0, 90)} is ${width} × ${height}`);
    }
    return faults;
  });

/** One walk through what there is to see, since loading it takes longest; what was wrong is kept by kind. */
const faults = {
  status: [] as string[],
  axe: [] as string[],
  dark: [] as string[],
  width: [] as string[],
  size: [] as string[],
  pictures: [] as string[],
};

const seen = new Set<string>();
let looked: string[];

beforeAll(async () => {
  const candidates = gallery.paths.filter(({ layout }) => layout === 'staff');
  looked = enoughPages(candidates.map(({ path, view }) => ({ path, view, html: gallery.html(path) })));
  for (const path of looked) {
    const keep = (kind: keyof typeof faults, found: string[]) => {
      faults[kind].push(...found.map((fault) => `${path}: ${fault}`));
    };
    await page.setViewportSize(narrow);
    await page.emulateMedia({ colorScheme: 'light' });
    const response = await page.goto(gallery.url + path);
    if (response?.status() !== 200) keep('status', [`status ${response?.status()}`]);
    const view = path.replace(/\/[^/]*$/, '');
    const first = !seen.has(view);
    seen.add(view);
    keep('size', await smallTargets());
    keep('pictures', await pictureFaults(page));
    keep('axe', [...(await built(page, first)), ...(await colours(page))]);
    keep('width', await wider());
    await page.setViewportSize({ width: 320, height: 568 });
    keep('width', await wider());
    await page.setViewportSize(wide);
    keep('pictures', await pictureFaults(page));
    // What axe finds but for colours hangs on the width only by what is hidden, which makes another kind.
    keep('axe', await built(page));
    await page.emulateMedia({ colorScheme: 'dark' });
    keep('dark', await colours(page));
    await page.evaluate(() => {
      document.documentElement.style.fontSize = '200%';
    });
    keep('width', await wider());
  }
});

test('every page is shown, in as many states as show all that they are built of', () => {
  expect(seen.size).toBeGreaterThan(30);
  expect([...seen].sort()).toEqual([...new Set(paths.map((path) => path.replace(/\/[^/]*$/, '')))].sort());
  expect(looked.length).toBeGreaterThan(60);
  expect(faults.status).toEqual([]);
});

test('a rehearsal that is shown while it is played is told the same when it asks', async () => {
  const part = (name: string) =>
    fetch(`${gallery.url}/studies/any/rehearsal/part`, {
      headers: { referer: `${gallery.url}/review/rehearsal/${name}` },
    });
  expect(await (await part('playing')).text()).toContain('57 of 160 answers');
  expect(await (await part('setting-up')).text()).toContain('data-playing="yes"');
  // What asks nobody is told nothing.
  expect((await part('choose')).status).toBe(404);
});

test('axe finds nothing in anything that pages are built of, on a phone and on a laptop', () => {
  expect(faults.axe).toEqual([]);
});

test('nor in the dark', () => {
  expect(faults.dark).toEqual([]);
});

test('and it does find something where something is wrong', async () => {
  await page.goto(`${gallery.url}/plan/plan/normal`);
  await page.evaluate(() => document.querySelector('label[for="question"]')?.remove());
  expect((await axeFaults(page)).join()).toContain('label');
  await page.evaluate(() => {
    document.querySelector('h1')?.style.setProperty('opacity', '0.2');
  });
  expect((await colours(page)).join()).toContain('color-contrast');
});

test('nothing scrolls sideways at 360 px, nor at 320 px, nor with text of 200 %', () => {
  expect(faults.width).toEqual([]);
});

test('words of pictures can be read, on a phone and on a laptop', () => {
  expect(faults.pictures).toEqual([]);
});

test('and where they can’t, that is found', async () => {
  await page.setViewportSize(wide);
  await page.goto(`${gallery.url}/review/verdict/pooled`);
  expect(await pictureFaults(page)).toEqual([]);
  await page.evaluate(() => {
    const [first, second, third] = document.querySelectorAll('.chart-wide text');
    const [box, at] = [first?.getBoundingClientRect(), second?.getBoundingClientRect()];
    second?.setAttribute('dx', String((box?.left ?? 0) - (at?.left ?? 0)));
    second?.setAttribute('dy', String((box?.top ?? 0) - (at?.top ?? 0)));
    third?.setAttribute('dx', '2000');
  });
  const found = (await pictureFaults(page)).join();
  expect(found).toContain('stand on one another');
  expect(found).toContain('is cut off by');
});

test('targets are at least 24 px in both directions, and buttons 44 px high', () => {
  expect(faults.size).toEqual([]);
});

test('the focus goes to the summary of what was wrong, and from there to the field', async () => {
  await page.goto(`${gallery.url}/plan/plan/wrong`);
  expect(await page.evaluate(() => document.activeElement?.matches('.problems'))).toBe(true);
  await page.keyboard.press('Tab');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('audiences.0.listeners');
});

test('everything can be reached by keyboard, in the order of the page, and shows that it has the focus', async () => {
  await page.setViewportSize(wide);
  for (const path of ['/run/desk/normal', '/plan/new/empty', '/review/verdict/normal']) {
    await page.goto(gallery.url + path);
    const expected = await page.evaluate(
      () =>
        [
          ...document.querySelectorAll('a[href], button, summary, select, input:not([type="hidden"]), [tabindex="0"]'),
        ].filter(
          (e) => e.checkVisibility() && !(e as HTMLButtonElement).disabled && e.getAttribute('tabindex') !== '-1',
        ).length,
    );
    const met = new Set<number>();
    let last = -1;
    for (let i = 0; i < expected; i++) {
      await page.keyboard.press('Tab');
      const at = await page.evaluate(() => {
        const e = document.activeElement;
        if (!e || e === document.body) return null;
        return { order: [...document.querySelectorAll('*')].indexOf(e), outline: getComputedStyle(e).outlineStyle };
      });
      if (!at) break;
      expect(at.order, path).toBeGreaterThan(last);
      expect(at.outline).toBe('solid');
      last = at.order;
      met.add(at.order);
    }
    expect(met.size, path).toBe(expected);
  }
});

test('the sheet keeps each listener on one page, and print hides what can be pressed', async () => {
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  await page.goto(`${gallery.url}/prepare/sheet/crowded`);
  const seen = await page.evaluate(() => ({
    breaks: [...document.querySelectorAll('.loads')].map((e) => getComputedStyle(e).breakInside),
    pressed: [...document.querySelectorAll('button, .tabs, .top')].filter((e) => e.checkVisibility()).length,
    paper: getComputedStyle(document.documentElement).backgroundColor,
    ink: getComputedStyle(document.body).color,
  }));
  await page.emulateMedia({ media: 'screen', colorScheme: 'light' });
  expect(new Set(seen.breaks)).toEqual(new Set(['avoid']));
  expect(seen.pressed).toBe(0);
  // Also for somebody who reads in the dark: black on white.
  expect(seen).toMatchObject({ paper: 'rgb(255, 255, 255)', ink: 'rgb(0, 0, 0)' });
});

test('no page complained to its console', () => {
  expect(complaints).toEqual([]);
});
