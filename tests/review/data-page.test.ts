import { expect, test } from 'vitest';
import { type DataAsked, dataOf } from '../../server/review/data-page';
import { createViews } from '../../server/web/views';
import { aPlan } from '../blinding/a-plan';
import { chained, handLines, type Line } from '../blinding/hand-ledger';
import { frame, study } from '../views/staff/frame';
import { randomStudy } from './random-study';

const asked: DataAsked = { stage: 'sealed', may: true, open: null, values: {}, problems: [] };
const sealed = (more: Line[] = []) => chained([...handLines().slice(0, -1), ...more]);
const plain = (text: string) => text.replaceAll('\u2009', '').replaceAll('\u00a0', ' ');

test('answers by listener and code, with times and marks, and nothing of the key', () => {
  const data = dataOf(
    sealed([
      ['staff:Ada', 'blind-review-opened', {}],
      ['staff:Ada', 'excluded', { what: 'trial', id: 'MT1', reason: 'coughed' }],
      [
        'listener:L2',
        'quarantined',
        { kind: 'answer', answer: '314', trial: 'NT3', sitting: 'N', why: 'study-closed' },
      ],
    ]),
    asked,
  );
  expect(data.listeners.map(({ label, summary }) => [label, summary])).toEqual([
    ['Home 1', '1 sitting · 3 of 3 answered · 1 left out'],
    ['Home 2', '1 sitting · 2 of 3 answered'],
  ]);
  const trials = data.listeners.flatMap(({ sittings }) => sittings.flatMap((one) => one.trials));
  expect(trials.map(({ trial, codes, answer, took, marks }) => [trial, codes, answer, took, marks].map(plain))).toEqual(
    [
      ['1', '203 · 204', '204', '12.0 s', 'left out: coughed'],
      ['2', '205 · 207', '205', '8.0 s', 'voided: Wrong sample handed over'],
      ['3', '213 · 214', '213', '7.0 s', ''],
      ['4 (2 again)', '982 · 973', '973', '6.0 s', ''],
      ['1', '305 · 307', 'no preference', '5.0 s', ''],
      ['2', '312 · 313', '312', '5.5 s', ''],
      ['3', '314 · 315', '–', '', 'never answered'],
    ],
  );
  expect(data.queries.map(({ count, label }) => [count, label])).toEqual([
    [1, 'Trials never answered'],
    [1, 'Sittings cut short'],
    [1, 'Incidents that belong to nobody'],
    [1, 'Answers kept apart'],
  ]);
  expect(data.apart.map(({ who, answer, why }) => [who, plain(answer), why])).toEqual([
    ['Home 2, session 1, trial 3', '314', 'the study was closed'],
  ]);
  expect(data.leftOut).toMatchObject([{ what: 'Home 1, session 1, trial 1', target: 'trial:MT1' }]);
  // What is left out already isn't offered again; the void one never was.
  expect(data.listeners[0]?.form?.targets.map(({ value }) => value)).toEqual(['trial:MT3', 'trial:MT4', 'listener:L1']);
  expect(JSON.stringify(data)).not.toMatch(/proto-|unit-|Prototype|S-A|warm/);
});

test('no stage offers what can’t be done at it', () => {
  const ledger = sealed([['staff:Ada', 'excluded', { what: 'trial', id: 'MT1', reason: 'coughed' }]]);
  expect(dataOf(ledger, { ...asked, stage: 'unsealed' }).leftOut[0]?.target).toBeNull();
  const decided = dataOf(ledger, { ...asked, stage: 'decided' });
  expect([decided.leftOut[0]?.target, decided.listeners[0]?.form]).toEqual([null, null]);
  const onlooker = dataOf(ledger, { ...asked, may: false });
  expect([onlooker.leftOut[0]?.target, onlooker.listeners[0]?.form]).toEqual([null, null]);
});

test('ABX: nothing tells what the third sample was', () => {
  const codesOf = (handling: 'two-person' | 'day-code') => {
    const plan = aPlan({ method: 'abx', handling, audiences: [['home', 2]] });
    const { record } = randomStudy(plan, { seed: 4 });
    return dataOf(record.ledger.slice(0, -1), asked).listeners.flatMap(({ sittings }) =>
      sittings.flatMap(({ trials }) => trials.map(({ codes }) => plain(codes).split(' · '))),
    );
  };
  for (const codes of codesOf('two-person')) expect(new Set(codes).size).toBe(3);
  for (const codes of codesOf('day-code')) {
    expect(codes[2]).toBe('third');
    expect(new Set(codes).size).toBe(3);
  }
});

test.each([
  ['triangle', /^(first|second|third)$/, 3],
  ['tetrad', /^(first|second|third) \+ (second|third|fourth)$/, 4],
  ['same-different', /^(same|different)$/, 2],
  ['a-not-a', /^(learnt|other)$/, 1],
] as const)(
  '%s: answers by place or word; codes only where they are fresh, since equal ones would tell',
  (method, words, samples) => {
    const trialsOf = (handling: 'two-person' | 'day-code') => {
      const { record } = randomStudy(aPlan({ method, handling, audiences: [['home', 2]] }), { seed: 4 });
      return dataOf(record.ledger.slice(0, -1), asked).listeners.flatMap(({ sittings }) =>
        sittings.flatMap(({ trials }) => trials),
      );
    };
    for (const { codes, answer } of trialsOf('two-person')) {
      expect(new Set(plain(codes).match(/\d{3}/g)).size).toBe(samples);
      expect(answer).toMatch(words);
    }
    for (const { codes } of trialsOf('day-code')) expect(codes).toBe(samples === 1 ? '1 sample' : `${samples} samples`);
  },
);

test('controls are shown like any other trial', () => {
  const plan = aPlan({
    prototypes: 3,
    units: 2,
    controls: { knownDifference: { trials: 1, prototype: 'proto-c' }, units: 1, identicalPairs: 1, hiddenRepeats: 1 },
    audiences: [['home', 2]],
  });
  const { record } = randomStudy(plan, { seed: 4 });
  const data = dataOf(record.ledger.slice(0, -1), asked);
  // Three turns and four controls.
  expect(data.listeners.map(({ summary }) => summary)).toEqual(Array(2).fill('1 sitting · 7 of 7 answered'));
  expect(JSON.stringify(data)).not.toMatch(/control|known|identical|repeat|unit/i);
});

test('ratings by scale; what a rule leaves out is marked', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking', 'bass'], exclusions: ['late'] });
  const { record } = randomStudy(plan, { seed: 4, late: 0.3 });
  const trials = dataOf(record.ledger.slice(0, -1), asked).listeners.flatMap(({ sittings }) =>
    sittings.flatMap((one) => one.trials),
  );
  for (const { answer } of trials) expect(answer).toMatch(/^Liking ([−+]\d|0) · Bass \d$/);
  const marked = trials.filter(({ marks }) => marks.includes('left out by rule: rated too late'));
  expect(marked.length).toBeGreaterThan(0);
  expect(marked.every(({ marks }) => marks.startsWith('late'))).toBe(true);
});

test('a long study stays one page: 200 listeners with 24 trials each', () => {
  const plan = aPlan({ repeats: 24, handling: 'day-code', audiences: [['home', 200]] });
  const people = Array.from({ length: 200 }, (_, i) => `L${i + 1}`);
  const trials = (who: string) =>
    Array.from({ length: 25 }, (_, n) => ({
      trial: `${who}T${n}`,
      ordinal: n,
      practice: n === 0,
      codes: ['203', '204'],
      shown: [0, 1],
    }));
  const one = (who: string, i: number): Line[] => [
    [`listener:${who}`, 'joined', { listener: who, audience: 'home' }],
    [
      'staff:Cy',
      'seated',
      {
        ...{ sitting: `S${who}`, session: 'SE1', sessionNumber: 1, listener: who, audience: 'home' },
        ...{ ordinal: i + 1, number: 1, trials: trials(who) },
      },
    ],
    ...trials(who).map(({ trial }): Line => [`listener:${who}`, 'answered', { trial, answer: '203' }]),
  ];
  const data = dataOf(chained([['staff:Ada', 'plan-locked', { plan, planVersion: 1 }], ...people.flatMap(one)]), asked);
  expect(data.listeners).toHaveLength(200);
  expect(data.listeners[9]?.label).toBe('Home 10');
  const page = { ...frame('The data, by code', study('review', 'closed')), base: '/x/review', stage: 'sealed', data };
  const html = createViews().page('review/data', page);
  expect(html.match(/<tr>/g)?.length).toBeGreaterThan(4_800);
  expect(html.length).toBeLessThan(2_500_000);
});
