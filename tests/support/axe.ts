import { createRequire } from 'node:module';
import type { AxeResults, RunOptions } from 'axe-core';
import type { BrowserContext, Page } from 'playwright-core';

declare global {
  interface Window {
    axe: { run(context: Document, options: RunOptions): Promise<AxeResults> };
  }
}

/** Colours are asked about apart from the rest: they take most of the time, and the same pairs meet on every page. */
const colourRules = ['color-contrast', 'link-in-text-block'];

/** Every page of this context carries axe from its first moment, since sending it for each look takes as long as looking. */
export async function carryAxe(context: BrowserContext): Promise<void> {
  await context.addInitScript({ path: createRequire(import.meta.url).resolve('axe-core/axe.min.js') });
}

async function violations(page: Page, options: RunOptions): Promise<string[]> {
  const found = await page.evaluate(
    async (given) => (await window.axe.run(document, { ...given, resultTypes: ['violations'] })).violations,
    options,
  );
  return found.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html.slice(0, 120)).join(' | ')}`);
}

/** What axe finds but for colours. */
export const axeFaults = (page: Page): Promise<string[]> =>
  violations(page, { rules: Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }])) });

/** All that decides whether a text can be read on its ground, and a link be told from the text around it. */
function pairsOf(): string[] {
  const pairs = new Set<string>();
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
    pairs.add([color, fontSize, fontWeight, textDecorationLine, around, ...grounds].join());
  }
  return [...pairs];
}

/** Asks axe about the colours of a page where something stands on a ground on which it was not seen before. */
export function colourFaults(): (page: Page) => Promise<string[]> {
  const seen = new Set<string>();
  return async (page) => {
    const fresh = (await page.evaluate(pairsOf)).filter((pair) => !seen.has(pair));
    for (const pair of fresh) seen.add(pair);
    return fresh.length > 0 ? violations(page, { runOnly: { type: 'rule', values: colourRules } }) : [];
  };
}
