import { parseHTML } from 'linkedom';

/** The tags of well-formed XML, or an error where it isn't: nesting, quotes, entities, one of each attribute. */
export function wellFormed(xml: string): string[] {
  const open: string[] = [];
  const tags: string[] = [];
  const token = /<(\/?)([A-Za-z][\w:-]*)((?:\s+[\w:-]+="[^"<]*")*)\s*(\/?)>|([^<]+)/gy;
  let at = 0;
  for (let match = token.exec(xml); match; match = token.exec(xml)) {
    at = token.lastIndex;
    const [, closing, tag = '', attributes = '', empty, text] = match;
    for (const part of [attributes, text ?? '']) {
      if (/&(?!(amp|lt|gt|quot|apos|#\d+|#x[0-9a-fA-F]+);)/.test(part)) throw new Error(`bare & in ${part}`);
    }
    if (text !== undefined) continue;
    const names = [...attributes.matchAll(/([\w:-]+)=/g)].map(([, name]) => name);
    if (new Set(names).size !== names.length) throw new Error(`an attribute twice in ${match[0]}`);
    if (closing) {
      if (open.pop() !== tag) throw new Error(`</${tag}> closes nothing`);
    } else {
      tags.push(tag);
      if (!empty) open.push(tag);
    }
  }
  if (at !== xml.length) throw new Error(`not XML at: ${xml.slice(at, at + 60)}`);
  if (open.length > 0) throw new Error(`never closed: ${open.join(' ')}`);
  return tags;
}

/** What a strict policy for styles and scripts, or a screen reader, would refuse in a drawing; empty when all is well. */
export function refused(svg: string): string[] {
  const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
  return [...document.querySelectorAll('*')].flatMap((element) =>
    [...element.attributes]
      .map(({ name }) => name)
      .filter(
        (name) =>
          name === 'style' ||
          name.startsWith('on') ||
          (name === 'aria-label' && element.tagName.toLowerCase() !== 'svg'),
      ),
  );
}
