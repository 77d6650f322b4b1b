import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { actFromForm } from '../../../client/phone/act-from-form';
import { createViews } from '../../../server/web/views';
import { actSchema } from '../../../shared/wire';
import { csrf } from '../examples/branded';
import checkIn from '../examples/listen-check-in';
import consent from '../examples/listen-consent';
import findSession from '../examples/listen-find-session';
import grading from '../examples/listen-grading';
import guessing from '../examples/listen-guessing';
import help from '../examples/listen-help';
import join from '../examples/listen-join';
import listen from '../examples/listen-listen';
import notNow from '../examples/listen-not-now';
import personalLink from '../examples/listen-personal-link';

const views = createViews();
const all = [findSession, join, notNow, personalLink, checkIn, consent, listen, grading, guessing, help].flatMap(
  ({ view, layout, examples }) => examples.map(({ name, model }) => ({ path: `${view}/${name}`, view, layout, model })),
);
const documentOf = ({ view, layout, model }: (typeof all)[number]) =>
  parseHTML(views.page(view, model, layout)).document;
const place = (name: string): Document => {
  const found = all.find(({ path }) => path === `listen/listen/${name}`);
  if (!found) throw new Error(`There is no example ${name}.`);
  return documentOf(found);
};

describe.each(all)('$path', (example) => {
  const document = documentOf(example);

  test('has one heading, one main, and a title', () => {
    expect(document.querySelectorAll('h1')).toHaveLength(1);
    expect(document.querySelectorAll('main')).toHaveLength(1);
    expect(document.title).toMatch(/\S · Fair Hearing$/);
  });

  test('has nothing that the content policy forbids', () => {
    expect(document.querySelectorAll('[style], style, script:not([src])')).toHaveLength(0);
    const handlers = [...document.querySelectorAll('*')].flatMap((e) =>
      [...e.attributes].filter(({ name }) => name.startsWith('on')),
    );
    expect(handlers).toEqual([]);
  });

  test('every form posts with its token, to a path of our own', () => {
    for (const form of document.querySelectorAll('form')) {
      expect(form.getAttribute('method')).toBe('post');
      expect(form.getAttribute('action')).toMatch(/^\/(?:(?:j|listen)\b|quick\/done$)/);
      expect(form.querySelector('input[name="_csrf"]')?.getAttribute('value')).toBe(csrf);
      expect(form.querySelectorAll('button').length).toBeGreaterThan(0);
    }
  });

  test('every field has a label, every id stands once, every link of the summary leads to a field', () => {
    const ids = [...document.querySelectorAll('[id]')].map((e) => e.id);
    expect(new Set(ids).size).toBe(ids.length);
    for (const field of document.querySelectorAll('input:not([type="hidden"]), textarea')) {
      const labelled = field.closest('label') ?? document.querySelector(`label[for="${field.id}"]`);
      expect(labelled, field.outerHTML).not.toBeNull();
    }
    for (const link of document.querySelectorAll('.problems a')) {
      expect(ids).toContain(link.getAttribute('href')?.slice(1));
    }
    for (const described of document.querySelectorAll('[aria-describedby]')) {
      for (const id of described.getAttribute('aria-describedby')?.split(' ') ?? []) expect(ids).toContain(id);
    }
  });
});

test('what was typed and what was wrong stand on the page again', () => {
  const document = documentOf(all.find(({ path }) => path === 'listen/join/all-wrong') ?? fail());
  expect(document.querySelector('#alias')?.getAttribute('value')).toBe('Juniper');
  expect(document.querySelector('#alias')?.getAttribute('aria-invalid')).toBe('true');
  expect(document.querySelectorAll('.problems a')).toHaveLength(3);
  const filled = documentOf(all.find(({ path }) => path === 'listen/join/long-texts') ?? fail());
  expect(filled.querySelector('[name="seen"][checked]')?.getAttribute('value')).toBe('no');
  expect(filled.querySelector('[name="audience"][checked]')?.getAttribute('value')).toBe('1');
});

test('what comes from people is escaped', () => {
  const hostile = '"><script>alert(1)</script>';
  const html = views.part('listen/parts/place', { kind: 'unseated', alias: hostile });
  expect(html).not.toContain('<script>');
  expect(html).toContain('&lt;script&gt;');
});

test('a part by itself is the part inside the page', () => {
  const example = listen.examples.find(({ name }) => name === 'fitting') ?? fail();
  const { part } = example.model as { part: object };
  const inside = place('fitting').querySelector('#place')?.innerHTML.trim();
  expect(parseHTML(views.part('listen/parts/place', part)).document.querySelector('section')?.outerHTML).toBe(inside);
});

test('no answer is chosen beforehand, and all look the same', () => {
  const document = place('asking-three');
  const labels = [...document.querySelectorAll('label')];
  expect(labels).toHaveLength(3);
  expect(new Set(labels.map((label) => label.className)).size).toBe(1);
  expect(document.querySelectorAll('[checked]')).toHaveLength(0);
  expect([...document.querySelectorAll('input[type="radio"]')].map((i) => i.getAttribute('value'))).toEqual([
    '502',
    '417',
    'none',
  ]);
});

test.each(['rating-practice', 'rating', 'rating-six', 'rating-long'])('%s: no place is set beforehand', (name) => {
  const document = place(name);
  expect(document.querySelectorAll('[checked]')).toHaveLength(0);
  for (const scale of document.querySelectorAll('.scale')) {
    const points = [...scale.querySelectorAll('input[type="radio"]')];
    const names = points.map((point) => point.getAttribute('aria-label') ?? '');
    const [low, high] = [...scale.querySelectorAll('.ends span')].map((end) => end.textContent);
    const title = scale.querySelector('legend')?.textContent;
    expect(names).toEqual(points.map((_, at) => `${title}, ${at + 1} of ${points.length}, ${low} … ${high}`));
    // The middle of two opposites is marked, and only that.
    const middle = [...scale.querySelectorAll('.middle input')].map((point) => point.getAttribute('value'));
    expect(middle).toEqual(points.some((point) => point.getAttribute('value') === '0') ? ['0'] : []);
  }
});

test('practice of a first impression says that nothing plays, and shows neither a code nor a window', () => {
  const document = place('rating-practice');
  expect(document.querySelector('main')?.textContent).toContain('nothing plays');
  expect(document.querySelectorAll('.code, .ring, [data-window], [data-over]')).toHaveLength(0);
});

test('a sample that bears the code of its twin is counted and not coded', () => {
  for (const name of ['waiting-third-uncoded', 'fitting-third-uncoded', 'listening-third-uncoded']) {
    const heading = place(name).querySelector('h1');
    expect(heading?.textContent).toContain('the third sample');
    expect(heading?.querySelector('.code')).toBeNull();
    expect(place(name).querySelector('#place')?.textContent).not.toMatch(/\d\u2009\d/);
  }
});

test('of three samples the answers say which one was heard when, in whatever order they stand', () => {
  const labels = [...place('asking-third').querySelectorAll('label')].map((label) => label.textContent?.trim());
  expect(labels).toEqual(['5\u20090\u20092 the second', '4\u20091\u20097 the first']);
});

test('before a first impression the seal is felt without the piece', () => {
  const text = place('fitting-still').querySelector('main')?.textContent ?? '';
  expect(text).toContain('room gets quieter');
  expect(text).toContain('Nothing plays yet');
  expect(text).not.toContain('bass');
  expect(place('fitting-still').querySelector('[data-starts]')).toBeNull();
});

test('whoever is put off reads what to do, and no blame; nothing can be pressed', () => {
  const document = place('postponed');
  expect(document.querySelectorAll('#place button, #place form')).toHaveLength(0);
  expect([...document.querySelectorAll('#place a')].every((link) => link.closest('noscript'))).toBe(true);
  expect(document.querySelector('main')?.textContent).toMatch(
    /another session[\s\S]*see a doctor[\s\S]*not a hearing test/,
  );
});

test('whoever had no seat has nothing to take out or to hand back, and answered nothing', () => {
  const said = (name: string) => place(name).querySelector('#place')?.textContent ?? '';
  expect(said('out')).toMatch(/Take out what you wear[\s\S]*What you answered is kept/);
  // Where the page plays renders nothing was handed over.
  for (const place of ['out', 'paused', 'finished', 'closed'])
    expect(said(place)).not.toMatch(/the sample|what you have/);
  expect(said('out-unseated')).not.toMatch(/Take out what you wear|answered|stopped/);
  expect(said('out-unseated')).toMatch(/no seat yet[\s\S]*tell the desk/);
});

test('codes are read digit by digit', () => {
  expect(place('fitting').querySelector('h1 .code')?.textContent).toBe('4\u20091\u20097');
});

test.each([
  'unseated',
  'waiting-next',
  'resetting',
  'fitting',
  'starting',
  'rating',
  'rating-practice',
  'listening',
  'asking-two',
  'words',
  'paused',
])('%s can be stopped without a reason', (name) => {
  const form = place(name).querySelector('#stop form');
  expect(form?.getAttribute('action')).toBe('/listen/stop');
  expect(form?.querySelectorAll('input:not([type="hidden"]), textarea, select')).toHaveLength(0);
});

test('the line that may be spoken is silent while a sample plays', () => {
  expect(place('listening').querySelector('#status')?.getAttribute('aria-live')).toBe('off');
  expect(place('listening').querySelectorAll('[role="alert"], [role="status"], [aria-live="polite"]')).toHaveLength(0);
  expect(place('waiting-next').querySelector('#status')?.getAttribute('aria-live')).toBe('polite');
  expect(place('rating').querySelector('#status')?.getAttribute('aria-live')).toBe('off');
  expect(place('rating').querySelectorAll('[role="alert"], [role="status"], [aria-live="polite"]')).toHaveLength(0);
});

test('every form of a place makes an act that the wire takes', () => {
  const kinds = new Set<string>();
  for (const name of ['resetting', 'fitting', 'starting', 'rating-six', 'listening', 'asking-three', 'words']) {
    for (const form of place(name).querySelectorAll('form[data-act]')) {
      const fields = [...form.querySelectorAll('input, textarea')]
        .filter(
          (field, i, list) =>
            field.getAttribute('type') !== 'radio' ||
            list.findIndex((f) => f.getAttribute('name') === field.getAttribute('name')) === i,
        )
        .map((field): [string, string] => [
          field.getAttribute('name') ?? '',
          field.getAttribute('value') ?? 'some words',
        ]);
      const act = actFromForm(fields, 'a'.repeat(26), { sincePlaying: null, wall: 1 });
      expect(actSchema.safeParse(act).error).toBeUndefined();
      kinds.add(act.kind);
    }
  }
  expect([...kinds].sort()).toEqual(['answer', 'fits', 'heard', 'plays', 'rate', 'refit', 'rested', 'words']);
});

test('without a script, a place that waits can be looked at again', () => {
  for (const name of ['unseated', 'waiting-next', 'paused', 'postponed', 'out', 'out-unseated']) {
    expect(place(name).querySelector('noscript')?.innerHTML).toContain('/listen');
  }
});

test('the cautions say what they must', () => {
  const text = documentOf(all.find(({ path }) => path === 'listen/listen/consent') ?? fail()).body.textContent;
  for (const said of [
    /start low/i,
    /pain, ringing/i,
    /cleaned/i,
    /not a hearing test/i,
    /rules of this place/i,
    /stop at any time/i,
  ]) {
    expect(text).toMatch(said);
  }
});

function fail(): never {
  throw new Error('The example is missing.');
}
