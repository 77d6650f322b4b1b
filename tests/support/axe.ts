import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { Page } from 'playwright-core';

declare global {
  interface Window {
    axe: { run(context: Document | Element[], options: RunOptions): Promise<AxeResults> };
    /** What stands on the page on a ground on which it was not seen before. */
    freshlyColoured: Element[];
    /** What it is built of that was not seen before, each with what is around it; the page where that must be whole. */
    freshlyBuilt: Document | Element[];
  }
}

/** Colours are asked about apart from the rest: they take most of the time, and the same pairs meet on every page. */
const colourRules = ['color-contrast', 'link-in-text-block'];

/** Where the gallery serves axe, so that the browser keeps it compiled from one page to the next. */
export const axePath = '/axe.js';
export const axeSource = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

/** Brings axe to a page that is looked at for the first time since it was loaded. */
async function bring(page: Page): Promise<void> {
  if (!(await page.evaluate(() => 'axe' in window))) await page.addScriptTag({ url: axePath });
}

type Where = 'freshlyColoured' | 'freshlyBuilt' | 'document';

async function violations(page: Page, options: RunOptions, where: Where = 'document'): Promise<string[]> {
  await bring(page);
  const found = await page.evaluate(
    async ([given, where]) => {
      return (await window.axe.run(window[where], { ...given, resultTypes: ['violations'] })).violations;
    },
    [options, where] as const,
  );
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
}

/** What axe finds but for colours. */
export const axeFaults = (page: Page, where: Where = 'document'): Promise<string[]> =>
  violations(page, { rules: Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }])) }, where);

/**
 * What a page is built of: each element by its parent, its classes and which attributes it has, whether it stands there
 * and whether it says something; and each heading after the one before it. Words and values make no kind. Answers with
 * all kinds, and keeps where those of `marked` are: each with what is around it, or all of the page for a heading, whose
 * rank hangs on it.
 */
function kindsOn({ marked, whole }: { marked: string[]; whole: boolean }): string[] {
  const fresh = new Set(marked);
  const found = new Set<string>();
  const around = new Set<Element>();
  let all = whole;
  let heading = 'none';
  for (const element of document.querySelectorAll('body, body *')) {
    if (element.closest('svg') && element.tagName !== 'svg') continue;
    const { tagName, parentElement, classList } = element;
    const told = [...classList].sort().concat(element.getAttributeNames().sort());
    const stands = [element.checkVisibility(), element.textContent?.trim() !== ''];
    const kind = [parentElement?.tagName, tagName, told, stands].join(' ');
    found.add(kind);
    if (fresh.has(kind)) {
      // What is wrong with a list or a group shows in what it holds.
      around.add(parentElement && !parentElement.matches('body, main') ? parentElement : element);
    }
    if (!/^H\d$/.test(tagName)) continue;
    const rank = `${tagName} after ${heading}`;
    found.add(rank);
    all ||= fresh.has(rank);
    heading = tagName;
  }
  window.freshlyBuilt = all || around.has(document.body) ? document : [...around];
  return [...found];
}

/** What axe finds but for colours, where a page is built of something not seen before; or, on demand, on all of it. */
export function builtFaults(): (page: Page, whole?: boolean) => Promise<string[]> {
  const seen = new Set<string>();
  return async (page, whole = false) => {
    const kinds = await page.evaluate(kindsOn, { marked: [], whole });
    // Only what is new travels back: all that was ever seen is long.
    const marked = kinds.filter((kind) => !seen.has(kind));
    for (const kind of marked) seen.add(kind);
    if (marked.length > 0) await page.evaluate(kindsOn, { marked, whole });
    return whole || marked.length > 0 ? axeFaults(page, 'freshlyBuilt') : [];
  };
}

/**
 * All that decides whether a text can be read on its ground, and a link be told from the text around it. Answers with all
 * pairs, and keeps some of what has one of those of `marked`.
 */
function pairsOn(marked: string[]): string[] {
  const fresh = new Set(marked);
  const found = new Map<string, number>();
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
    const met = found.get(pair) ?? 0;
    found.set(pair, met + 1);
    // One might be cut off or lie under something, where axe can't tell.
    if (met < 3 && fresh.has(pair)) window.freshlyColoured.push(element);
  }
  return [...found.keys()];
}

/** Asks axe about the colours of what stands on a ground on which it was not seen before, and of nothing else. */
export function colourFaults(): (page: Page) => Promise<string[]> {
  const seen = new Set<string>();
  return async (page) => {
    const marked = (await page.evaluate(pairsOn, [])).filter((pair) => !seen.has(pair));
    if (marked.length === 0) return [];
    for (const pair of marked) seen.add(pair);
    await page.evaluate(pairsOn, marked);
    return violations(page, { runOnly: { type: 'rule', values: colourRules } }, 'freshlyColoured');
  };
}
