import { expect, test } from 'vitest';
import { Page } from '../../server/demo/page';
import type { GradingPart } from '../../server/listen/view-models';
import { createViews } from '../../server/web/views';
import grading from '../views/examples/listen-grading';

const partOf = (name: string): GradingPart => {
  const model = grading.examples.find((one) => one.name === name)?.model as { part: GradingPart } | undefined;
  if (!model) throw new Error(`There is no example ${name}.`);
  return model.part;
};
const pageOf = (name: string): Page => new Page(createViews().part('listen/parts/place', partOf(name)));

const all = grading.examples.map(({ name }) => name);
const fresh = all.filter((name) => name !== 'grades-again');

test.each(fresh)('%s: nothing is set beforehand', (name) => {
  const page = pageOf(name);
  expect(page.all('input[checked]')).toEqual([]);
  expect(page.all('input[type="number"][value]')).toEqual([]);
  // Without script nothing can be left out but words to tick, of which the server sees to it.
  for (const input of page.all('input:not([type="hidden"], [type="checkbox"])')) {
    expect(input.hasAttribute('required')).toBe(true);
  }
});

test.each(all)('%s: no card tells itself from another', (name) => {
  const cards = pageOf(name)
    .all('.graded-card')
    .filter((card) => card.querySelector('.scale'));
  const bare = cards.map((card) => {
    for (const one of card.querySelectorAll('[checked]')) one.removeAttribute('checked');
    return card.outerHTML
      .replaceAll(/\d\u2009\d\u2009\d/g, 'code')
      .replaceAll(/((?:grade|tenths|tick|ticks|words|sample)[-_]|data-card(?:-state)?=")\d+/g, '$1n');
  });
  expect(new Set(bare).size).toBeLessThanOrEqual(1);
});

test('thirteen cards: a reference without a code and without scales, and twelve that are graded', () => {
  const { cards } = partOf('grades-anchors-most');
  expect(cards.map(({ place }) => place)).toEqual(Array.from({ length: 13 }, (_, at) => at + 1));
  const [open, ...graded] = cards;
  expect(open).toMatchObject({ reference: true, code: null, leaves: [], ticks: null });
  for (const card of graded) expect(card).toMatchObject({ reference: false, code: expect.any(String), note: null });
});

test('scales stand in the order of the listener, three on a page at most; words on one of their own', () => {
  const ids = (name: string) => partOf(name).cards[0]?.leaves.map((leaf) => leaf.map(({ id }) => id));
  expect(ids('grades-profile')).toEqual([
    ['warmth', 'stage-width', 'brightness'],
    ['naturalness', 'bass'],
  ]);
  expect(ids('grades-right')).toEqual([
    ['liking', 'bass'],
    ['treble', 'fit'],
  ]);
  expect(pageOf('grades-words-meant').all('.leaf')).toHaveLength(2);
  expect(pageOf('grades-again').all('.leaf')).toHaveLength(0);
});

test('what was graded while each was at the ear stands there again', () => {
  const page = pageOf('grades-again');
  const chosen = page.all('input[checked]').map((one) => `${one.getAttribute('name')} ${one.getAttribute('value')}`);
  expect(chosen).toEqual(['grade_1_liking 0', 'grade_2_liking 1', 'grade_3_liking 2']);
  expect(page.find('[data-player]')).toBeNull();
});

test('words run from the best down, a line is read as it is stored, and a middle has its word', () => {
  const said = (name: string, selector: string) =>
    pageOf(name)
      .all(selector)
      .map((one) => (one.textContent ?? '').trim());
  expect(said('grades-absolute', '.worded')).toEqual(['excellent', 'good', 'fair', 'poor', 'bad']);
  expect(said('grades-comparison', '.worded').at(0)).toBe('much better');
  expect(said('grades-impairments', '#words-2-impairment li').at(0)).toMatch(/^5\.0\s+imperceptible$/);
  const tenths = pageOf('grades-impairments').find('#grade-3-impairment');
  expect(['name', 'min', 'max', 'step'].map((one) => tenths?.getAttribute(one))).toEqual([
    ...['tenths_3_impairment', '1.0', '5.0', '0.1'],
  ]);
  expect(said('grades-right', '.ends')[1]).toContain('just about right');
  const middle = pageOf('grades-right')
    .all('.middle input')
    .map((one) => one.getAttribute('aria-label') ?? '');
  expect(middle[1]).toBe('Bass, 3 of 5, far too little … far too much, just about right');
});

test('a definition stands beneath what it defines, closed where it is long', () => {
  const page = pageOf('grades-profile');
  expect(page.all('p.meant').map((one) => one.textContent)).toContain('How much treble there is, beside the rest.');
  expect(page.all('details.meant')).toHaveLength(1);
  expect(page.find('details.meant')?.hasAttribute('open')).toBe(false);
});
