import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { measuredSections } from '../../../server/review/measured/sections';
import type { RatedSection } from '../../../server/review/view-models';
import type { Findings } from '../../../shared/findings';
import { findingsSchema } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import type { Line } from '../../blinding/hand-ledger';
import { plain } from '../a-result';
import type { Wish } from '../random-study';
import { refused, wellFormed } from '../well-formed';
import { bassShelf, measured, response, withLines } from './measured-study';

const found = (plan: Plan, wish: Wish, lines: readonly Line[]): Findings['exploratory']['measured'] =>
  findingsSchema.parse(findingsOf(withLines(plan, wish, lines), { resamples: 100 })).exploratory.measured;
const sections = (of: Findings['exploratory']['measured'], plan: Plan): RatedSection[] => {
  const all = plain(of ? measuredSections(of, plan) : []);
  for (const { sentences, charts } of all) {
    expect(sentences.join(' ')).toContain('explores and decides nothing');
    for (const { svg } of charts) {
      expect(wellFormed(svg)).toContain('svg');
      expect(refused(svg)).toEqual([]);
    }
  }
  return all;
};
const verdictWords = /\bpreferred\b(?! to)|difference (is|was)? ?shown|separated|undecided/;

describe('one has 3 dB more bass, and is rated as having more', () => {
  const plan = aPlan({
    method: 'first-impressions',
    scales: ['bass', 'brightness'],
    units: [2, 1],
    sessions: 2,
    audiences: [['home', 16]],
  });
  const wish = { seed: 4, truth: { ratings: { bass: { 'proto-a': 1.5 } }, interactionSd: 0.2 } };
  const of = found(plan, wish, [
    measured('unit-a1', response(bassShelf(0))),
    // Reworked since, and measured anew.
    ['staff:Ada', 'unit-reworked', { unit: 'unit-a1', serial: 'S-A1', on: '2026-02-28', note: 'vent' }],
    measured('unit-a1', response(bassShelf(3.5))),
    measured('unit-a2', response(bassShelf(2), bassShelf(3))),
    // Louder all over says nothing of the balance.
    measured(
      'unit-b1',
      response((f) => bassShelf(0)(f) + 6),
      100,
    ),
  ]);
  const [section, bands] = sections(of, plan);

  test('levels are of the balance alone: as much as was planted, where it was', () => {
    const { responses, maps } = of ?? {};
    expect(maps).toBeUndefined();
    expect(responses?.baseline).toBe('proto-b');
    expect(responses?.bands).toEqual([
      ...[20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000],
      ...[1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10_000, 12_500, 16_000, 20_000],
    ]);
    const [first, second] = responses?.prototypes ?? [];
    expect(first).toMatchObject({ prototype: 'proto-a', units: 2, of: 2 });
    const at = (band: number) => first?.less[responses?.bands.indexOf(band) ?? -1];
    // Units of 3.5 and (2 + 3)/2 dB.
    for (const band of [20, 63, 125]) expect(at(band)).toBeCloseTo(3, 6);
    for (const band of [500, 1000, 8000, 16_000]) expect(at(band)).toBeCloseTo(0, 6);
    expect(first?.unitsApart).toBeCloseTo(1, 6);
    expect(second).toMatchObject({ units: 1, of: 1, unitsApart: null, stretches: [] });
    expect(second?.less.every((one) => one === 0)).toBe(true);
    expect(first?.stretches).toHaveLength(1);
    expect(first?.stretches[0]).toMatchObject({ from: 20, to: 250 });
  });

  test('how it was heard is the difference of the method, and stands in the same sentence', () => {
    const bass = of?.responses?.heard.find(({ scale }) => scale === 'bass');
    expect(bass?.difference.lower).toBeLessThan(1.5);
    expect(bass?.difference.upper).toBeGreaterThan(1.5);
    expect(section?.heading).toBe('Measured against heard');
    expect(section?.sentences[0]).toMatch(
      /^Prototype A measures 2\.\d dB more at 20 to 250 Hz than Prototype B; it was rated 1\.\d\d points \(\d\.\d\d to \d\.\d\d\) nearer to “[^”]+” on “[^”]*ass[^”]*”, the clearest of 2 scales\.$/,
    );
  });

  test('pictures before tables with the same figures, and no word of a verdict', () => {
    expect(section?.charts).toHaveLength(2);
    expect(section?.tables.map(({ of: about }) => about)).toEqual(['Prototype']);
    expect(bands?.folded).toBe(true);
    expect(bands?.tables[0]?.groups[0]?.rows.find(({ name }) => name === '63')?.cells).toEqual(['3.0']);
    expect(JSON.stringify({ ...section, charts: [] })).not.toMatch(verdictWords);
    const picture = parseHTML(`<!doctype html><body>${section?.charts[0]?.svg}</body>`).document.querySelector('svg');
    expect(picture?.querySelector('.hue-1')).toBeTruthy();
    expect(picture?.querySelector('.hue-2')).toBeNull();
    expect(section?.note).toContain('Prototype A 2 of 2, up to 1.0 dB apart in a band; Prototype B 1 of 1.');
  });
});

test.each<[string, Plan, string, RegExp]>([
  ['abx', aPlan({ method: 'abx', audiences: [['home', 8]] }), 'heard', /heard as different from it in \d+ % of trials/],
  ['pairs', aPlan({ prototypes: 3, audiences: [['home', 8]] }), 'preferred', /preferred to it in \d+ % of choices/],
  ['ranking', aPlan({ method: 'ranking', prototypes: 3 }), 'before', /ranked before it in \d+ % of rankings/],
])('%s: what the method has of the pair', (_, plan, measure, words) => {
  const lines = plan.prototypes.map(({ units: [unit] }, i) => measured(unit?.id ?? '', response(bassShelf(i))));
  const truth = { listenersWhoHear: 1, heard: 0.9, gamma: 0, worth: { 'proto-a': 5, 'proto-c': -5 } };
  const of = found(plan, { seed: 2, truth }, lines);
  expect(new Set(of?.responses?.heard.map((one) => one.measure))).toEqual(new Set([measure]));
  expect(of?.responses?.heard).toHaveLength(plan.prototypes.length - 1);
  const [section] = sections(of, plan);
  expect(section?.sentences[0]).toMatch(words);
  expect(of?.responses?.correlations).toBeUndefined();
});

test('bands are named as people say them; where intervals reach no difference, the sentence says that', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['bass'] });
  const of = found(plan, { seed: 1, truth: { residualSd: 3 } }, [
    measured(
      'unit-a1',
      response((f) => bassShelf(0)(f) + (f > 2700 ? 2 : f > 130 && f < 140 ? 9 : 0)),
    ),
    measured('unit-b1', response(bassShelf(0))),
  ]);
  expect(sections(of, plan)[0]?.sentences[0]).toMatch(
    /^Prototype A measures \d\.\d dB more at 125 Hz and [12]\.\d dB more at (2\.5|3\.15) to 20 kHz than Prototype B; nothing in how it was heard lies clear of no difference\.$/,
  );
});

test('nothing is said with one curve, or none, or of renders; of a unit that was reworked none is left', () => {
  const plan = aPlan({ method: 'abx' });
  const both = ['unit-a1', 'unit-b1'].map((unit) => measured(unit, response(bassShelf(1))));
  const reworked: Line = [
    'staff:Ada',
    'unit-reworked',
    { unit: 'unit-b1', serial: 'S-B1', on: '2026-03-01', note: 'x' },
  ];
  expect(found(plan, { seed: 1 }, both)).toBeDefined();
  expect(found(plan, { seed: 1 }, [...both, reworked])).toBeUndefined();
  expect(found(plan, { seed: 1 }, [measured('unit-a1', response(bassShelf(1)))])).toBeUndefined();
  expect(found(plan, { seed: 1 }, [measured('unit-a1', null), measured('unit-b1', null)])).toBeUndefined();
  expect(found(aPlan({ method: 'abx', playback: 'renders' }), { seed: 1 }, [])).toBeUndefined();
});

describe('five prototypes', () => {
  const bass = { 'proto-a': -2, 'proto-b': -1, 'proto-c': 0, 'proto-d': 1, 'proto-e': 2 };
  const brightness = { 'proto-a': 1, 'proto-b': -2, 'proto-c': 0, 'proto-d': 2, 'proto-e': -1 };
  const plan = (prototypes: number) =>
    aPlan({
      method: 'first-impressions',
      scales: ['liking', 'bass', 'brightness'],
      prototypes,
      sessions: 2,
      audiences: [['home', 14]],
    });
  const liked = { truth: { ratings: { bass, brightness, liking: bass }, residualSd: 0.5, interactionSd: 0.2 } };
  const lines = 'abcdefgh'.split('').map((letter, i) => measured(`unit-${letter}1`, response(bassShelf(1.5 * i))));
  const of = found(plan(5), { seed: 6, ...liked }, lines);
  const shown = sections(of, plan(5));

  test('bass that goes with bass is found, with the number of pairs that were looked at', () => {
    const { correlations } = of?.responses ?? {};
    // 14 bands up to 400 Hz differ between these prototypes.
    expect(shown.map(({ id }) => id).slice(0, 3)).toEqual(['measured-heard', 'measured-heard-all', 'measured-bands']);
    expect(correlations).toMatchObject({ prototypes: 5, pairs: 3 * 14, deals: 120, exact: true });
    const one = correlations?.found.find(({ scale }) => scale === 'bass');
    expect(one?.r).toBeGreaterThan(0.95);
    expect(one?.band).toBeLessThanOrEqual(400);
    // Two orders of 120, there and back, go together as much.
    expect(one?.p).toBeGreaterThanOrEqual(1 / 120);
    expect(shown[0]?.note).toContain('42 pairs of a band and a scale were looked at');
  });

  test('each is held against the same one, whichever of a pair that is', () => {
    const beside = of?.responses?.heard.filter(({ scale }) => scale === 'bass') ?? [];
    expect(of?.responses?.baseline).toBe('proto-b');
    const signs = beside.map(({ prototype, difference: { value } }) => [prototype, Math.sign(value)]);
    expect(signs).toEqual([
      ['proto-a', -1],
      ['proto-c', 1],
      ['proto-d', 1],
      ['proto-e', 1],
    ]);
    for (const { difference } of beside) {
      expect(difference.lower).toBeLessThan(difference.value);
      expect(difference.upper).toBeGreaterThan(difference.value);
    }
  });

  test('the map has what was planted, each direction by itself, and liking goes with bass', () => {
    const [map, ...more] = of?.maps ?? [];
    expect(more).toEqual([]);
    expect(map).toMatchObject({ audience: 'home', scaled: false });
    expect(map?.attributes.map(({ scale }) => scale)).toEqual(['bass', 'brightness']);
    expect((map?.shares[0] ?? 0) + (map?.shares[1] ?? 0)).toBeCloseTo(1, 9);
    const { liking } = map ?? {};
    expect(liking?.listeners).toHaveLength(14);
    expect(liking?.expected).toBe(0.5);
    expect(liking?.meanRSquared).toBeGreaterThan(0.8);
    expect(liking?.p).toBeLessThan(0.1);
    // Arrows go the way of the attribute that liking goes with.
    const arrow = map?.attributes[0] ?? { x: 0, y: 0 };
    expect(liking?.listeners.every(({ x, y }) => x * arrow.x + y * arrow.y > 0)).toBe(true);
    expect(liking?.above.at(-1)).toEqual({ prototype: 'proto-e', listeners: 14 });
  });

  test('the letter shows both maps, with components named by what they explain and no listener by name', () => {
    const [profile, liking] = shown.slice(-2);
    expect(profile?.heading).toBe('A map of what they are like');
    expect(profile?.charts[0]?.svg).toMatch(/First component: \d+\u00a0?%? ?/);
    expect(liking?.heading).toBe('Who likes what, on the map');
    expect(liking?.sentences[0]).toContain('50 % would be explained if liking had nothing to do with it');
    expect(JSON.stringify(liking)).not.toContain('home-');
    expect(JSON.stringify([profile, liking].map((one) => ({ ...one, charts: [] })))).not.toMatch(verdictWords);
  });

  test('with four there is no map and no correlation, and no sentence that pretends', () => {
    const four = found(plan(4), { seed: 6, ...liked }, lines.slice(0, 4));
    expect(four?.maps).toBeUndefined();
    expect(four?.responses?.correlations).toBeUndefined();
    expect(JSON.stringify(sections(four, plan(4)))).not.toMatch(/component|pairs of a band/i);
  });

  test('without responses the map stands by itself; with liking alone there is none', () => {
    const unmeasured = found(plan(5), { seed: 6, ...liked }, []);
    expect(unmeasured?.responses).toBeUndefined();
    expect(unmeasured?.maps).toEqual(of?.maps);
    const one = aPlan({ method: 'first-impressions', scales: ['liking', 'bass'], prototypes: 5 });
    expect(found(one, { seed: 1, ...liked }, [])).toBeUndefined();
  });
});
