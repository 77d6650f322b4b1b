import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { readingOf } from '../../server/review/computing/reading';
import { reportOf } from '../../server/review/report';
import { reportStyle } from '../../server/review/report-style';
import { createViews } from '../../server/web/views';
import { aPlan } from '../blinding/a-plan';
import { randomStudy } from '../review/random-study';
import { launchChromium } from '../support/chromium';

/** The report as somebody opens it who was sent the file: with no network at all. */

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-report-'));
let browser: Browser;
let page: Page;
const asked: string[] = [];
const complaints: string[] = [];

beforeAll(async () => {
  const plan = aPlan({
    method: 'abx',
    trials: 4,
    audiences: [
      ['home', 5],
      ['stage', 4],
    ],
  });
  const { record } = randomStudy(plan, { seed: 2, spoilt: 0.1, leave: 0.05 });
  const file = join(folder, 'report.html');
  writeFileSync(file, reportOf(record, readingOf(record), createViews(), await reportStyle()));
  browser = await launchChromium();
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, colorScheme: 'light' });
  await context.setOffline(true);
  page = await context.newPage();
  page.on('request', (request) => asked.push(request.url()));
  page.on('console', (message) => complaints.push(message.text()));
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(pathToFileURL(file).href);
});
afterAll(async () => {
  await browser?.close();
  rmSync(folder, { recursive: true, force: true });
});

const headings = () => page.locator('h2:visible').allTextContents();

test('it opens with the network off, asks for nothing, and shows all of itself', async () => {
  await page.waitForFunction(() => document.fonts.status === 'loaded');
  expect(asked.filter((url) => !url.startsWith('data:'))).toEqual([page.url()]);
  expect(complaints).toEqual([]);
  const shown = await headings();
  for (const words of ['Who came, and what was lost', 'Planned, and done', 'How it was done', 'How to check it']) {
    expect(shown.map((one) => one.trim())).toContain(words);
  }
  expect(await page.locator('svg.flow-picture:visible').count()).toBe(2);
  // Fonts came along.
  expect(await page.evaluate(() => [...document.fonts].filter(({ status }) => status === 'loaded').length)).toBe(2);
});

test('light and dark, wide and on a phone', async () => {
  const look = () =>
    page.evaluate(() => ({
      paper: getComputedStyle(document.documentElement).backgroundColor,
      over: document.documentElement.scrollWidth - document.documentElement.clientWidth,
    }));
  const light = await look();
  await page.emulateMedia({ colorScheme: 'dark' });
  await page.setViewportSize({ width: 328, height: 740 });
  const dark = await look();
  expect(light.over).toBeLessThanOrEqual(0);
  expect(dark.over).toBeLessThanOrEqual(0);
  expect(dark.paper).not.toBe(light.paper);
  // Every word of the picture is within it.
  const outside = await page.evaluate(() =>
    [...document.querySelectorAll('.chart-narrow .flow-picture')].flatMap((svg) => {
      const frame = svg.getBoundingClientRect();
      return [...svg.querySelectorAll('text')]
        .filter((one) => {
          const box = one.getBoundingClientRect();
          return box.right > frame.right + 0.5 || box.left < frame.left - 0.5 || box.bottom > frame.bottom + 0.5;
        })
        .map((one) => one.textContent);
    }),
  );
  expect(outside).toEqual([]);
});

test.each(['A4', 'Letter'])('prints to %s: some pages of that size', async (format) => {
  const pdf = (await page.pdf({ format })).toString('latin1');
  const pages = pdf.match(/\/Type\s*\/Page\b/g) ?? [];
  expect(pages.length).toBeGreaterThan(3);
  expect(pages.length).toBeLessThan(40);
  const [, width = 0, height = 0] = /\/MediaBox\s*\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)?.map(Number) ?? [];
  const [wide, high] = format === 'A4' ? [595, 842] : [612, 792];
  expect(Math.abs(width - wide)).toBeLessThan(1.5);
  expect(Math.abs(height - high)).toBeLessThan(1.5);
});
