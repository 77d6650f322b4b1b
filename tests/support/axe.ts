import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { BrowserContext, Page } from 'playwright-core';

declare global {
  interface Window {
    axe: { run(context: Document | Element[], options: RunOptions): Promise<AxeResults> };
    /** What stands on the page on a ground on which it was not seen before. */
    freshlyColoured: Element[];
  }
}

/** Colours are asked about apart from the rest: they take most of the time, and the same pairs meet on every page. */
const colourRules = ['color-contrast', 'link-in-text-block'];

/** Every page of this context carries axe from its first moment, since sending it for each look takes as long as looking. */
export async function carryAxe(context: BrowserContext): Promise<void> {
  await context.addInitScript({ path: createRequire(import.meta.url).resolve('axe-core/axe.min.js') });
}

async function violations(page: Page, options: RunOptions, ofFresh = false): Promise<string[]> {
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
