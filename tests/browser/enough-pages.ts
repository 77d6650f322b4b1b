import { parseHTML } from 'linkedom';

/**
 * Which examples a browser looks at. Most states of a page are built of what others are built of, and a browser takes
 * most of its time to load them; so as few are chosen as show, between them, everything that could look different.
 */
export interface Candidate {
  path: string;
  view: string;
  html: string;
}

/** Says what an element is for, or where it leads, and nothing of how it looks or reads. */
const telling =
  /^(?:id|name|value|for|href|action|method|autocomplete|inputmode|maxlength|min|max|step|checked|selected|aria-(?:describedby|labelledby|controls))$/;

const classed = ({ tagName, classList }: Element): string => [tagName, ...[...classList].sort()].join('.');

/** An element and all in it, in their order; a picture is one thing. */
function* standing(element: Element): Generator<Element> {
  yield element;
  if (element.tagName === 'svg') return;
  for (const child of element.children) yield* standing(child);
}

/**
 * What a page is built of, with a size where size matters: each kind of element in each kind of place, empty or not; each
 * heading after the one before it; the longest word in each kind of element; the most cells in a row.
 */
export function makings(html: string): Map<string, number> {
  const { document } = parseHTML(html);
  const found = new Map<string, number>();
  const note = (what: string, size = 0) => found.set(what, Math.max(found.get(what) ?? 0, size));
  let heading = 'none';
  for (const element of standing(document.body)) {
    const attributes = element.getAttributeNames().filter((name) => name !== 'class' && !telling.test(name));
    const [type, role] = ['type', 'role'].map((name) => element.getAttribute(name));
    const says = element.textContent?.trim() ? 'says something' : 'is empty';
    note([element.parentElement?.tagName, classed(element), ...attributes.sort(), type, role, says].join(' '));
    const words = [...element.childNodes].flatMap((node) =>
      node.nodeType === 3 ? (node.textContent ?? '').split(/[\s-]+/) : [],
    );
    note(`word in ${classed(element)}`, Math.max(0, ...words.map((word) => word.length)));
    if (element.tagName === 'TR') note('cells', element.children.length);
    if (!/^H\d$/.test(element.tagName)) continue;
    note(`${element.tagName} after ${heading}`);
    heading = element.tagName;
  }
  return found;
}

/** Paths of pages that show every making at its largest, and every view; each time the one that adds most. */
export function enoughPages(pages: readonly Candidate[]): string[] {
  const made = pages.map(({ path, view, html }) => ({ path, has: new Map([...makings(html), [`view ${view}`, 0]]) }));
  const largest = new Map<string, number>();
  for (const { has } of made) {
    for (const [what, size] of has) largest.set(what, Math.max(largest.get(what) ?? 0, size));
  }
  const waiting = new Set(largest.keys());
  const shown = made.map(({ path, has }) => ({
    path,
    what: [...has].filter(([what, size]) => size === largest.get(what)).map(([what]) => what),
  }));
  const chosen: string[] = [];
  while (waiting.size > 0) {
    const adds = shown.map(({ what }) => what.filter((one) => waiting.has(one)).length);
    const best = shown[adds.indexOf(Math.max(...adds))];
    for (const what of best?.what ?? []) waiting.delete(what);
    chosen.push(best?.path ?? '');
  }
  return chosen;
}
