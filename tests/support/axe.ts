import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    axe: { run(context: Document | Element[], options: RunOptions): Promise<AxeResults> };
    /** What stands on the page on a ground on which it was not seen before. */
    freshlyColoured: Element[];
  }
}

/** Colours are asked about apart from the rest: they take most of the time, and the same pairs meet on every page. */
const colourRules = ['color-contrast', 'link-in-text-block'];

const source = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Brings axe to a page that is looked at for the first time since it was loaded. Most pages of a walk aren't. */
async function bring(page: Page): Promise<void> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(source);
}

async function violations(page: Page, options: RunOptions, ofFresh = false): Promise<string[]> {
  await bring(page);
  const found = await page.evaluate(
    async ([given, fresh]) => {
      const where = fresh ? window.freshlyColoured : document;
      return (await window.axe.run(where, { ...given, resultTypes: ['violations'] })).violations;
    },
    [options, ofFresh] as const,
  );
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
}

/** What axe finds but for colours. */
export const axeFaults = (page: Page): Promise<string[]> =>
  violations(page, { rules: Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }])) });

/**
 * What a page is built of: each element by its parent, its classes and which attributes it has, each heading after the one
 * before it, and whether it stands there at all. Words and values make no kind.
 */
function kindsOf(): string[] {
  const kinds = new Set<string>();
  let heading = 'none';
  for (const element of document.querySelectorAll('body, body *')) {
    if (element.closest('svg') && element.tagName !== 'svg') continue;
    const { tagName, parentElement, classList } = element;
    const attributes = element.getAttributeNames().sort();
    kinds.add(
      [parentElement?.tagName, tagName, [...classList].sort(), attributes, element.checkVisibility()].join(' '),
    );
    if (!/^H\d$/.test(tagName)) continue;
    kinds.add(`${tagName} after ${heading}`);
    heading = tagName;
  }
  return [...kinds];
}

/** What axe finds but for colours, on pages alone that are built of something not seen before. */
export function builtFaults(): (page: Page) => Promise<string[]> {
  const seen = new Set<string>();
  return async (page) => {
    const kinds = (await page.evaluate(kindsOf)).filter((kind) => !seen.has(kind));
    for (const kind of kinds) seen.add(kind);
    return kinds.length > 0 ? axeFaults(page) : [];
  };
}

/**
 * All that decides whether a text can be read on its ground, and a link be told from the text around it. Answers with the
 * pairs that were not seen before, and keeps what has one of them.
 */
function freshPairs(seen: string[]): string[] {
  const known = new Set(seen);
  const fresh = new Set<string>();
  window.freshlyColoured = [];
  for (const element of document.querySelectorAll('body *')) {
    const written = [...element.childNodes].some((n) => n.nodeType === Node.TEXT_NODE && n.textContent?.trim());
    if (!(written || element.matches('input, select, textarea')) || !element.checkVisibility()) continue;
    const { color, fontSize, fontWeight, textDecorationLine } = getComputedStyle(element);
    const grounds: string[] = [];
    for (let on: Element | null = element; on; on = on.parentElement) {
      const { backgroundColor, backgroundImage, opacity } = getComputedStyle(on);
      if (opacity !== '1' || backgroundImage !== 'none') grounds.push(opacity, backgroundImage);
      if (backgroundColor !== 'rgba(0, 0, 0, 0)') grounds.push(backgroundColor);
    }
    const around = element.matches('a') && element.parentElement && getComputedStyle(element.parentElement).color;
    const pair = [color, fontSize, fontWeight, textDecorationLine, around, ...grounds].join();
    if (known.has(pair)) continue;
    fresh.add(pair);
    window.freshlyColoured.push(element);
  }
  return [...fresh];
}

/** Asks axe about the colours of what stands on a ground on which it was not seen before, and of nothing else. */
export function colourFaults(): (page: Page) => Promise<string[]> {
  const seen = new Set<string>();
  return async (page) => {
    const fresh = await page.evaluate(freshPairs, [...seen]);
    for (const pair of fresh) seen.add(pair);
    return fresh.length > 0 ? violations(page, { runOnly: { type: 'rule', values: colourRules } }, true) : [];
  };
}
