import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { newId, newPartId } from '../../../server/ids';
import { comingMinute, deskMinute, lastMinute } from '../../../server/time-words';
import { traceOf } from '../../../server/web/trace';
import { createViews } from '../../../server/web/views';
import { checkWire, sentChange, sentPlace, sentReply, WireMisfit } from '../../../server/web/wire-misfit';
import { actReplySchema, changedSchema, placeSchema } from '../../../shared/wire/messages';
import { minute, moment } from '../../../shared/wire/pieces';
import { wireViews } from '../../../shared/wire/views';
import type { ViewExamples } from '../../views/examples/examples';
import checkIn from '../../views/examples/listen-check-in';
import consent from '../../views/examples/listen-consent';
import findSession from '../../views/examples/listen-find-session';
import grading from '../../views/examples/listen-grading';
import guessing from '../../views/examples/listen-guessing';
import help from '../../views/examples/listen-help';
import history from '../../views/examples/listen-history';
import join from '../../views/examples/listen-join';
import listen from '../../views/examples/listen-listen';
import notNow from '../../views/examples/listen-not-now';
import personalLink from '../../views/examples/listen-personal-link';
import card from '../../views/examples/run-card';
import closeSession from '../../views/examples/run-close-session';
import desk from '../../views/examples/run-desk';
import panel from '../../views/examples/run-panel';
import { study } from '../../views/staff/frame';
import { placesIn, plantedIn, textFields } from './fields';

/**
 * No model for a phone or the desk can say what a sample is: an id, a serial or a name in any of its fields is refused.
 * Free are only the fields that stand here, each typed by a person for the one who reads it.
 */

type View = keyof typeof wireViews;
const pages: readonly ViewExamples[] = [
  ...[checkIn, consent, findSession, grading, guessing, help, history, join, listen, notNow, personalLink],
  ...[card, closeSession, desk, panel],
];
/** Any page can be the answer to a form, and any of the desk's can stand within its study. */
const framed = (model: object): object => ({
  ...model,
  ...('problems' in model
    ? {
        problems: [
          { code: 'bad-input', message: 'Choose one.', path: 'answer', allowed: '1', got: '2', field: 'answer' },
        ],
      }
    : {}),
  ...('study' in model ? { study: study('run', 'running') } : {}),
});
const shown: { view: View; name: string; model: object }[] = pages.flatMap(({ view, examples }) =>
  examples.flatMap(({ name, model }) => {
    const whole = { view: view as View, name, model: framed(model) };
    if (view === 'listen/listen') {
      return [whole, { view: 'listen/parts/place' as const, name, model: (model as { part: object }).part }];
    }
    return view === 'run/desk'
      ? [whole, { view: 'run/parts/desk' as const, name, model: (model as { desk: object }).desk }]
      : [whole];
  }),
);

/** By view: field and who types it. `form`: the server's answer to a form, which quotes what was typed into it. */
const free: Record<View, string[]> = {
  'listen/find-session': ['code.value form', 'code.error form'],
  'listen/join': [
    'alias.value alias',
    'alias.error form',
    'knownAlias alias',
    'audiences.*.name plan',
    'audienceError form',
    'seen.error form',
  ],
  'listen/personal-link': [],
  'listen/not-now': ['title alias', 'heading alias'],
  'listen/listen': [],
  'listen/parts/place': [
    'conditionsError form',
    'outside.error form',
    'alias alias',
    'item plan',
    'attribute plan',
    'ahead.leaves.*.*.id plan',
    'ahead.leaves.*.*.name plan',
    'ahead.leaves.*.*.low plan',
    'ahead.leaves.*.*.high plan',
    'leaves.*.*.id plan',
    'leaves.*.*.name plan',
    'leaves.*.*.low plan',
    'leaves.*.*.high plan',
    'scale plan',
    ...['id', 'name', 'definition', 'low', 'high', 'places.*.says', 'line.marks.*.says'].map(
      (name) => `cards.*.leaves.*.*.${name} plan`,
    ),
    ...['id', 'name', 'definition'].map((name) => `cards.*.ticks.words.*.${name} plan`),
    'choices.*.label plan',
    'choiceError form',
    'sureError form',
    'tonesError form',
    'connectionError form',
    'checksError form',
  ],
  'listen/help': [],
  'listen/history': [],
  'run/desk': [],
  'run/parts/desk': [
    'session.arrivals.*.alias alias',
    'session.arrivals.*.audience plan',
    'session.seats.*.alias alias',
    'session.seats.*.audience plan',
    'due.*.alias alias',
    'due.*.audience plan',
    'incidents.*.text desk',
  ],
  'run/panel': ['groups.*.members.*.alias alias', 'groups.*.members.*.audience plan'],
  'run/card': ['title alias', 'alias alias'],
  'run/close-session': ['unfinished.*.alias alias'],
};
/** Around every page. */
const frameFree = ['message', 'path', 'allowed', 'got', 'field'].map((name) => `problems.*.${name} form`);
const deskFrameFree = ['staff.name team', 'study.title team', 'study.blindWarning team', ...frameFree];

function statedFor(view: View): string[] {
  const own = free[view];
  if (view === 'listen/listen') return [...frameFree, ...free['listen/parts/place'].map((field) => `part.${field}`)];
  if (view === 'run/desk') return [...deskFrameFree, ...free['run/parts/desk'].map((field) => `desk.${field}`)];
  if (view.startsWith('run/') && view !== 'run/parts/desk') return [...deskFrameFree, ...own];
  return view === 'listen/parts/place' || view === 'listen/help' || view === 'run/parts/desk'
    ? own
    : [...frameFree, ...own];
}

const openOf = (view: View): Set<string> =>
  new Set(textFields(wireViews[view]).flatMap(({ path, typed }) => (typed === null ? [] : [path])));

test.each(Object.keys(wireViews) as View[])('%s: what is free text is a closed list', (view) => {
  const fields = textFields(wireViews[view]).flatMap(({ path, typed }) => (typed === null ? [] : [`${path} ${typed}`]));
  expect(fields.sort()).toEqual(statedFor(view).sort());
});

test('every text field of every view is there in some example, so that what follows is about all of them', () => {
  for (const view of Object.keys(wireViews) as View[]) {
    const filled = new Set(shown.flatMap((one) => (one.view === view ? [...placesIn(one.model)] : [])));
    const unseen = textFields(wireViews[view]).filter(({ path, typed }) => typed === null && !filled.has(path));
    expect([view, ...unseen.map(({ path }) => path)]).toEqual([view]);
  }
});

const secrets = {
  'the id of a prototype or a unit': newPartId(),
  'a serial': 'WV-001',
  'a name': 'Wide vent',
  'an id of another kind': newId(new Date('2026-03-02')).toLowerCase(),
};
describe.each(Object.entries(secrets))('%s', (_what, secret) => {
  test.each(Object.keys(wireViews) as View[])('is refused in every field of %s', (view) => {
    const open = openOf(view);
    const taken = new Set<string>();
    let tried = 0;
    for (const { model } of shown.filter((one) => one.view === view)) {
      expect(wireViews[view].safeParse(model).error).toBeUndefined();
      for (const { path, model: changed } of plantedIn(model, secret, open)) {
        tried++;
        if (wireViews[view].safeParse(changed).success) taken.add(path);
      }
    }
    expect([...taken]).toEqual([]);
    expect(tried).toBeGreaterThan(5);
  });
});

test('whatever its id, its serial or its name is: no closed field takes it', () => {
  const letters = fc.stringMatching(/^[A-Za-z0-9_-]{12}$/);
  const serial = fc.stringMatching(/^[A-Z]{1,4}[- ]?\d{1,6}$/);
  const name = fc.stringMatching(/^[A-Z][a-z]{2,8} [a-z]{3,8}( \d\.\d mm)?$/);
  // The largest models of both sides have nearly all fields between them.
  const [place, wholeDesk] = [
    shown.find((one) => one.view === 'listen/parts/place' && one.name === 'starting'),
    shown.find((one) => one.view === 'run/parts/desk' && one.name === 'normal'),
  ];
  fc.assert(
    fc.property(fc.oneof(letters, serial, name), fc.nat(), (secret, at) => {
      for (const one of [place, wholeDesk]) {
        if (!one) throw new Error('An example is missing.');
        const all = plantedIn(one.model, secret, openOf(one.view));
        const planted = all[at % all.length];
        expect([planted?.path, wireViews[one.view].safeParse(planted?.model).success]).toEqual([planted?.path, false]);
      }
    }),
    { numRuns: 300 },
  );
});

describe('messages of sockets', () => {
  const place = { version: 3, html: '<p>Wait</p>' };
  test('carry a part, a refusal or a number, and nothing beside', () => {
    expect([sentPlace(place), sentChange(7), sentReply({ ok: true, place })]).toEqual([place, 7, { ok: true, place }]);
    const more = [
      [placeSchema, { ...place, sample: 'Wide vent' }],
      [placeSchema, { ...place, version: 'WV-001' }],
      [changedSchema, 'Wide vent'],
      [changedSchema, { version: 7 }],
      [changedSchema, 1.5],
      [actReplySchema, { ok: true, place: { ...place, unit: 'WV-001' } }],
      [actReplySchema, { ok: true, place, apart: 'Wide vent' }],
      [actReplySchema, { ok: false, error: { code: 'Wide vent', message: 'No.', path: '' }, place: null }],
      [actReplySchema, { ok: false, error: { code: 'conflict', message: 'No.', path: '', unit: 'x' }, place: null }],
    ] as const;
    for (const [schema, message] of more)
      expect([message, schema.safeParse(message).success]).toEqual([message, false]);
  });
});

describe('what does not fit is not rendered', () => {
  const views = createViews();
  const secret = 'Wide vent, WV-001';

  test('and what is thrown says where, and nothing of what', () => {
    const models: [View, object][] = [
      ['listen/parts/place', { kind: 'finished', next: secret, quick: null }],
      ['listen/parts/place', { kind: 'paused', [secret]: secret }],
      ['run/parts/desk', { ...shown.find(({ view }) => view === 'run/parts/desk')?.model, base: secret }],
    ];
    for (const [view, model] of models) {
      for (const render of [() => views.part(view, model), () => views.page(view, model)]) {
        const error = thrownBy(render);
        expect(error).toBeInstanceOf(WireMisfit);
        expect(`${error.message} ${JSON.stringify(traceOf(error))}`).not.toMatch(/vent|WV/);
      }
    }
    const { misfit } = traceOf(
      thrownBy(() => views.part('listen/parts/place', { kind: 'finished', next: secret, quick: null })),
    );
    expect(misfit).toEqual({ what: 'listen/parts/place', fields: ['next'] });
  });

  test('a view of these rooms without a schema can’t be rendered; those of other rooms can', () => {
    expect(() => checkWire('run/parts/log', {})).toThrow(/has no schema/);
    expect(() => checkWire('listen/__proto__', {})).toThrow(/has no schema/);
    expect(() => checkWire('review/verdict', {})).not.toThrow();
  });
});

function thrownBy(work: () => unknown): Error {
  try {
    work();
  } catch (error) {
    if (error instanceof Error) return error;
  }
  throw new Error('Nothing was thrown.');
}

test('the times that the server writes are times that the wire knows, every day of a year', () => {
  for (let day = 0; day < 366; day++) {
    const at = new Date(Date.UTC(2028, 0, 1 + day, day % 24, day % 60, 30));
    for (const written of [comingMinute(at), lastMinute(at)]) expect(moment.safeParse(written).success).toBe(true);
    expect([deskMinute(at.toISOString()), minute.safeParse(deskMinute(at.toISOString())).success]).toEqual([
      deskMinute(at.toISOString()),
      true,
    ]);
  }
});
