import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { hueClass, symbolSigns, symbols } from '../../server/review/chart';
import { preferenceChart } from '../../server/review/preference/chart';
import { planLimits } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { findingsOfRandom } from './a-result';
import { refused, wellFormed } from './well-formed';

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

describe.each(cases)('%s', (_name, { svg, caption, result, plan }) => {
  test('is well-formed, and has nothing that a strict policy for styles and scripts refuses', () => {
    const tags = wellFormed(svg);
    expect(tags).toContain('svg');
    for (const tag of ['style', 'script', 'foreignObject', 'b']) expect(tags).not.toContain(tag);
    expect(refused(svg)).toEqual([]);
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

test('a label that is too long for the picture is shortened in it, and whole in its name', () => {
  const { svg } = chart({ names: ['Hard damper', 'Soft damper'] });
  const [wide = '', narrow = ''] = svg.split('chart-narrow');
  const whole = /Share of choices for \w+ damper over \w+ damper/;
  expect(wide).toMatch(new RegExp(`>${whole.source}<`));
  expect(narrow).not.toMatch(new RegExp(`>${whole.source}<`));
  expect(narrow).toContain('>Share of choices<');
  expect(narrow).toMatch(new RegExp(`aria-label="${whole.source}"`));
});
