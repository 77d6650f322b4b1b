import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import type { AudienceVerdict } from '../../../server/review/view-models';
import type { Plan } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { verdictWords } from '../../../shared/words/en';
import { aPlan } from '../../blinding/a-plan';
import { panel } from '../../protocols/rated';
import { letterOf } from '../a-result';
import { refused, wellFormed } from '../well-formed';

const page = (plan: Plan, lines: string[], scale = 'liking') =>
  letterOf(plan, panel(lines, 'home', scale))[0] as AudienceVerdict;
const plan = aPlan({
  method: 'first-impressions',
  units: 2,
  scales: ['liking'],
  sessions: 2,
  audiences: [['home', 6]],
});
const apart = [
  'a2 b0 | a2 b0',
  'a1 b0 | a2 b1',
  'a3 b1 | a2 b-1',
  'a2 b1 | a1 b0',
  'a0 b-2 | a1 b-2',
  'a1 b-2 | a0 b-1',
];
const figure = (of: AudienceVerdict, label: string) => of.figures.find((one) => one.label === label)?.value;

describe('a difference', () => {
  const found = page(plan, apart);

  test('figures: the difference in points first, then p, then what it rests on', () => {
    expect(found.figures.map(({ label }) => label)).toEqual([
      'Prototype A less Prototype B, in points',
      '95 % interval',
      'p',
      'Listeners',
      'Ratings on this scale',
      'Trials',
      'Sessions',
      'Units',
      'Power for 1 point',
    ]);
    expect([figure(found, 'Listeners'), figure(found, 'Ratings on this scale'), figure(found, 'Sessions')]).toEqual([
      '6',
      '24',
      '2',
    ]);
    // Sentence and figures speak of the same figures.
    expect(found.sentence).toContain(`by ${found.figures[0]?.value} points`);
    expect(found.sentence).toContain(`(95 % interval ${found.figures[1]?.value})`);
    expect(found.alsoPossible).toBeNull();
  });

  test('means by prototype, one of which is the high end’s', () => {
    expect(found.rating?.scales).toHaveLength(1);
    const [scale] = found.rating?.scales ?? [];
    expect(scale).toMatchObject({ name: 'Liking', primary: true, ends: 'dislike −3 … like +3' });
    expect(scale?.means.map(({ prototype }) => prototype)).toEqual(['Prototype A', 'Prototype B']);
    expect(scale?.note).toMatch(
      /^6 listeners rated every prototype\. Whether they differ at all: by the model, p .*; by F .*Friedman/,
    );
    expect(found.rating?.pairs[0]?.rows.map(({ names, primary }) => [names, primary])).toEqual([
      ['Prototype A less Prototype B', true],
    ]);
    expect(found.rating?.pairsNote).toBeNull();
  });
});

test('undecided: what is still possible either way, and what would settle it', () => {
  const found = page(plan, ['a2 b0', 'a0 b1', 'a3 b1', 'a0 b2']);
  expect(found.verdict).toBe('undecided');
  expect(found.alsoPossible).toMatch(
    /^The data still allow Prototype A nearer to “like” by up to \d\.\d points, or Prototype B nearer to it by up to \d\.\d\. A new study with \d+ listeners in this audience would find 1 point with a chance of 80 %, if they differ as much as these did\.$/,
  );
});

test('too few to see a spread: what would settle it claims nothing of theirs', () => {
  expect(page(plan, ['a2 b0', 'a0 b1']).alsoPossible).toMatch(/with a chance of 80 %\.$/);
});

describe('not separated', () => {
  const close = (pairs: number) =>
    page(
      aPlan({ method: 'first-impressions', units: 2, scales: ['liking'], audiences: [['home', 2 * pairs]] }),
      Array.from({ length: 2 * pairs }, (_, i) => (i % 2 ? 'a1 b0' : 'a0 b1')),
    );

  test('nothing is said about single listeners, nor about the sound', () => {
    expect(close(10).verdict).toBe('not-separated');
    expect(close(10).verdictWords).toBe('Too close to matter');
    expect(close(10).warnings[0]).toMatch(/single listeners may differ strongly.*doesn’t say that the two sound alike/);
    expect(close(10).warnings.join(' ')).not.toContain('The interval reaches');
  });

  test('where the shown interval reaches the margin, which test showed it', () => {
    // Six differences ±1: 95 % interval ±1.15; the 90 % one, ±0.90, lies within 1 point.
    expect(close(3).verdict).toBe('not-separated');
    expect(close(3).warnings.join(' ')).toContain('two one-sided tests, which go with a 90 % interval');
    expect(close(3).sentence).not.toContain('which leaves out');
  });
});

describe('several scales and prototypes', () => {
  const many = aPlan({
    method: 'first-impressions',
    prototypes: 3,
    units: 2,
    sessions: 2,
    scales: ['brightness', 'liking'],
    scale: 'liking',
    audiences: [['home', 6]],
  });
  const lines = apart.map((line, i) => line.replaceAll(' |', ` c${i % 2} |`).concat(` c${(i + 1) % 3}`));
  const found = letterOf(many, [...panel(lines), ...panel(lines, 'home', 'brightness')])[0] as AudienceVerdict;

  test('the primary scale first; the others are a family of their own, without a verdict', () => {
    expect(found.rating?.scales.map(({ name, primary }) => [name, primary])).toEqual([
      ['Liking', true],
      ['Brightness', false],
    ]);
    expect(found.rating?.pairs.flatMap(({ rows }) => rows.filter(({ primary }) => primary))).toHaveLength(1);
    expect(found.rating?.pairsNote).toMatch(
      /The other 5 comparisons are a family of their own, corrected together by Holm: .* gets no verdict here\.$/,
    );
    const words = [...verdicts, ...Object.values(verdictWords).map(({ short }) => short)];
    const exploratory = JSON.stringify([found.rating?.pairs, found.rating?.otherHabituation, found.rating?.scales]);
    for (const word of words) expect(exploratory).not.toContain(word);
  });

  test('of the other scales only the figures are shown over the sittings', () => {
    expect(found.rating?.habituation.map(({ scale }) => scale)).toEqual(['Liking']);
    expect(found.rating?.habituation[0]?.chart).not.toBeNull();
    expect(found.rating?.otherHabituation.map(({ scale, chart }) => [scale, chart])).toEqual([['Brightness', null]]);
  });

  test('whoever left one out is named as missing from the means', () => {
    const left = letterOf(many, panel([...lines.slice(1), 'a1 b1']))[0] as AudienceVerdict;
    expect(left.warnings).toContain(
      '1 listener didn’t rate every prototype on the primary scale, and fell out of its means.',
    );
  });
});

describe('over the sittings', () => {
  const weeks = aPlan({
    method: 'first-impressions',
    units: 2,
    scales: ['liking'],
    sessions: 4,
    audiences: [['home', 6]],
  });
  const rises = (steps: number[]) =>
    Array.from({ length: 6 }, (_, i) =>
      steps.map((step, s) => `a${(i % 2) + step} b${step - 1 + ((i + s) % 2)}`).join(' | '),
    );

  test('drifting: where to, by how much, and beside the verdict', () => {
    const found = page(weeks, rises([-2, -1, 0, 1]));
    const [own] = found.rating?.habituation ?? [];
    expect(own?.heading).toBe('Drifting');
    expect(own?.sentence).toMatch(
      /^From sitting to sitting ratings move toward “like”, .* \(95 % interval [\d.]+ to [\d.]+\)\.$/,
    );
    expect(found.warnings.join(' ')).toContain('Ratings on this scale moved from sitting to sitting');
    expect(own?.rows.map(({ prototype }) => prototype)).toEqual(['Prototype A', 'Prototype B']);
    expect(own?.all?.drift).toMatch(/^\d\.\d\d \(/);
    // Two on four days and nobody twice on one.
    expect(own?.repeatability.map(({ when, pairs }) => [when, pairs])).toEqual([['On another day', '12']]);
    expect(page(weeks, rises([1, 0, -1, -2])).rating?.habituation[0]?.sentence).toContain('toward “dislike”');
  });

  test('stable only within the margin of the plan', () => {
    const [own] = page(weeks, rises([0, 0, 0, 0])).rating?.habituation ?? [];
    expect(own?.heading).toBe('Stable');
    expect(own?.sentence).toContain('Over the 4 planned sittings ratings move by less than 1 point');
  });

  test('not known: what the data allow', () => {
    const [own] = page(weeks, ['a0 b1 | a2 b0', 'a1 b0 | a0 b-2', 'a2 b1 | a1 b3']).rating?.habituation ?? [];
    expect(own?.heading).toBe('Not known');
    expect(own?.sentence).toMatch(/^It can’t be told whether ratings move\. The data allow, .* best guess −?\d/);
  });

  test('all alike, or one listener alone: why it can’t be told', () => {
    const said = (lines: string[]) => page(weeks, lines).rating?.habituation[0];
    const alike = said(['a0 b1 | a1 b2', 'a1 b0 | a2 b1', 'a2 b1 | a3 b2']);
    expect(alike?.heading).toBe('Not known');
    expect(alike?.sentence).toContain('All 3 listeners who rated in two sittings moved alike, or not at all.');
    const alone = said(['a0 b1 | a1 b2', 'a1 b0', 'a2 b1']);
    expect(alone?.sentence).toContain('Only one listener rated in two sittings');
  });

  test('a first sitting is called a first contact nowhere, least of all in a study that goes on from another', () => {
    const lines = rises([-2, -1, 0, 1]);
    const caption = (of: Plan) => page(of, lines).rating?.habituation[0]?.chart?.caption ?? '';
    expect(caption(weeks)).not.toContain('first contact');
    const follows = { study: 'ST0', planHash: 'a'.repeat(64) };
    expect(caption({ ...weeks, follows })).toContain('need not be a first contact');
  });

  test('one sitting only: nothing is said, and nothing drawn', () => {
    expect(page(weeks, ['a0 b1', 'a1 b0', 'a2 b0']).rating?.habituation).toEqual([]);
    const [own] = page(weeks, ['a0 b1 a1', 'a1 b0 b1', 'a2 b0']).rating?.habituation ?? [];
    expect(own).toMatchObject({ heading: 'Not asked twice', chart: null, rows: [], all: null });
    expect(own?.repeatability[0]).toMatchObject({ when: 'In the same sitting', pairs: '2' });
  });
});

describe('late answers', () => {
  test('with and without', () => {
    const late = page(plan, ['a2! b0', 'a1 b0', 'a3 b1', 'a2 b1', 'a0 b-2', 'a1 b-2']).rating?.late;
    expect(late).toMatch(
      /^1 of 12 ratings came after the time that the plan allows\. They count with the rest\. Without them the primary difference is 1\.\d points \(0\.\d+ to 2\.\d+\), p 0\.\d+\.$/,
    );
    expect(page(plan, apart).rating?.late).toBeNull();
  });

  test('turned with the sentence; and too few without them', () => {
    const turned = page(plan, ['b2! a0', 'b1 a0', 'b3 a1', 'b2 a1', 'b0 a-2', 'b1 a-2']).rating?.late;
    expect(turned).toContain('Without them the primary difference is 1.');
    expect(page(plan, ['a2! b0', 'a1! b0', 'a3! b1']).rating?.late).toContain('too few are left');
  });
});

describe('the charts', () => {
  const awkward = aPlan({
    method: 'first-impressions',
    prototypes: 3,
    sessions: 2,
    names: ['A & B <b> "wide"', 'x style="color:red" y', '<svg onload=1>'],
    scales: [
      { id: 'odd', name: 'A & <b>"c"', low: '<i>', high: '& more', polarity: 'bipolar', points: 3 },
      { id: 'long', name: 'Long', low: 'little', high: 'much', polarity: 'unipolar', points: 9 },
    ],
  });
  const lines = ['a0 b1 c-1 | a1 b1 c0', 'a1 b0 c-1 | a1 b0 c1', 'a-1 b0 c0 | a0 b0 c0'];
  const found = letterOf(awkward, [
    ...panel(lines, 'home', 'odd'),
    ...panel(['a9 b1 c5', 'a9 b1 c4', 'a8 b2 c5'], 'home', 'long'),
  ])[0] as AudienceVerdict;
  const charts = [...(found.rating?.scales ?? []), ...(found.rating?.habituation ?? [])].map(({ chart }) => chart);

  test('are well-formed, named, and have nothing that a strict policy refuses', () => {
    expect(charts).toHaveLength(3);
    for (const chart of charts) {
      expect(wellFormed(chart?.svg ?? '')).toContain('svg');
      expect(refused(chart?.svg ?? '')).toEqual([]);
      const { document } = parseHTML(`<!doctype html><body>${chart?.svg}</body>`);
      for (const picture of document.querySelectorAll('svg')) {
        expect(picture.getAttribute('aria-label')).toMatch(/^Mean rating/);
      }
    }
  });

  test('the end words of a scale stand at its ends, and every prototype has its hue', () => {
    const { document } = parseHTML(`<!doctype html><body>${charts[1]?.svg}</body>`);
    for (const picture of document.querySelectorAll('svg')) {
      const texts = [...picture.querySelectorAll('text')].map((one) => one.textContent);
      for (const word of ['little', 'much', '1', '9']) expect(texts).toContain(word);
      for (const hue of [1, 2, 3]) expect(picture.querySelectorAll(`.hue-${hue}`)).toHaveLength(1);
    }
  });

  test('nothing to draw: no chart', () => {
    const empty = letterOf(awkward, [])[0] as AudienceVerdict;
    expect(empty.rating?.scales.map(({ chart }) => chart)).toEqual([null, null]);
    expect(empty.rating?.habituation).toEqual([]);
  });
});
