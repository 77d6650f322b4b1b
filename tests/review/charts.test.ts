import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { hueClass, symbolSigns, symbols } from '../../server/review/chart';
import { preferenceChart } from '../../server/review/preference/chart';
import { planLimits } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { findingsOfRandom } from './a-result';

const awkward = [
  'A & B <b> "wide"',
  "it's <style>x</style>",
  'x style="color:red" y',
  '<svg onload=1>',
  'e\u0301 ü 漢',
  '100 %',
  'g',
  'h',
];
function chart(wish: PlanWish, seed = 41) {
  const plan = aPlan(wish);
  const [result] = findingsOfRandom(plan, { seed }).results;
  if (!result) throw new Error('no result');
  const drawn = preferenceChart(result, plan);
  if (!drawn) throw new Error('no chart');
  return { plan, result, ...drawn };
}
const cases: [string, ReturnType<typeof chart>][] = [
  ['two', chart({})],
  ['three', chart({ prototypes: 3 })],
  ['eight', chart({ prototypes: 8, handling: 'day-code' })],
  ['awkward names', chart({ prototypes: 8, handling: 'day-code', names: awkward })],
  ['two with awkward names', chart({ names: awkward })],
  ['two with what a replacement would take for a place', chart({ names: ['$& and $1', 'b'] })],
];

/** The tags of well-formed XML, or an error where it isn't: nesting, quotes, entities, one of each attribute. */
function wellFormed(xml: string): string[] {
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

describe.each(cases)('%s', (_name, { svg, caption, result, plan }) => {
  test('is well-formed, and has nothing that a strict policy for styles and scripts refuses', () => {
    const tags = wellFormed(svg);
    expect(tags).toContain('svg');
    for (const tag of ['style', 'script', 'foreignObject', 'b']) expect(tags).not.toContain(tag);
    const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
    for (const element of document.querySelectorAll('*')) {
      for (const { name } of element.attributes) expect(name === 'style' || name.startsWith('on')).toBe(false);
    }
  });

  test('has a name for screen readers and a caption with its level', () => {
    const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
    const pictures = [...document.querySelectorAll('svg')];
    expect(pictures.length).toBeGreaterThan(0);
    for (const picture of pictures) {
      expect(picture.getAttribute('role')).toBe('img');
      expect(picture.getAttribute('xmlns')).toBe('http://www.w3.org/2000/svg');
      const label = picture.getAttribute('aria-label') ?? '';
      if (result.scores) expect(label).toBe('Score (log worth, sum zero)');
      else
        expect(label).toBe(`Share of choices for ${ahead(result, plan)[0]?.name} over ${ahead(result, plan)[1]?.name}`);
    }
    expect(caption).toMatch(/95\s%/);
  });

  test('every name stands there letter by letter, every prototype with its own hue', () => {
    const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
    const rows = result.scores ? plan.prototypes : ahead(result, plan).slice(0, 1);
    for (const picture of document.querySelectorAll('svg')) {
      const texts = [...picture.querySelectorAll('text')].map((one) => one.textContent);
      for (const one of rows) expect(texts).toContain(one?.name);
      const hues = rows.map(
        (one) => [...picture.querySelectorAll(`.${hueClass(plan.prototypes.indexOf(one as never))}`)].length,
      );
      expect(hues).toEqual(rows.map(() => 1));
    }
  });
});

/** Whose share is drawn, and over whom. */
function ahead(result: ReturnType<typeof chart>['result'], plan: ReturnType<typeof chart>['plan']) {
  const [first, second] = plan.prototypes;
  return (result.estimate?.value ?? 1) < 0.5 ? [second, first] : [first, second];
}

test('nothing to draw: no chart', () => {
  const plan = aPlan();
  const [result] = findingsOfRandom(plan, { seed: 41, leave: 1 }).results;
  expect(result && preferenceChart(result, plan)).toBeNull();
});

test('as many marks as there may be prototypes, no two alike', () => {
  for (const marks of [symbols, symbolSigns]) {
    expect(marks).toHaveLength(planLimits.prototypes.max);
    expect(new Set(marks).size).toBe(marks.length);
  }
});
