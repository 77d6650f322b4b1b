import { describe, expect, test } from 'vitest';
import { amendmentsOf, factsOf, planVersions, versionOfSession } from '../../server/blinding/amendments';
import { amendmentLines } from '../../server/blinding/check/amended';
import { planHash } from '../../server/blinding/key';
import { storyOf } from '../../server/blinding/story';
import { type Plan, usualSound } from '../../shared/plan';
import { chained, handLines, handPlan, type Line } from './hand-ledger';

const two = { ...handPlan, title: 'Two' };
const three = { ...two, question: 'Three?' };
const amendedTo = (plan: typeof handPlan, number: number, reopened = false): Line => [
  'staff:Ada',
  'amended',
  {
    number,
    reason: 'Because',
    seen: { kind: 'progress', words: '' },
    facts: { answers: 0, sheets: [], blindReview: [], codes: [] },
    changes: [],
    plan,
    planVersion: number + 1,
    planHash: planHash(plan),
    reopened,
  },
];
const locked = handLines().slice(0, 2);
const opened = (number: number): Line => ['staff:Cy', 'session-opened', { session: `SE${number}`, number }];

describe('versions of a plan', () => {
  const ledger = chained([...locked, opened(1), amendedTo(two, 1), amendedTo(three, 2, true), opened(2)]);

  test('the locked one and one for each amendment, each from its entry on', () => {
    expect(planVersions(ledger)).toEqual([
      { version: 1, plan: handPlan, hash: planHash(handPlan), from: 2 },
      { version: 2, plan: two, hash: planHash(two), from: 4 },
      { version: 3, plan: three, hash: planHash(three), from: 5 },
    ]);
    expect(planVersions(ledger.slice(0, 1))).toEqual([]);
    expect(amendmentsOf(ledger).map(({ number, by, reopened }) => [number, by, reopened])).toEqual([
      [1, 'Ada', false],
      [2, 'Ada', true],
    ]);
  });

  test('a session is held by the one that stood when it was opened; the next by the newest', () => {
    const by = (session: number, of = ledger) => versionOfSession(of, session).version;
    expect([by(1), by(2), by(3), by(1, ledger.slice(0, 2))]).toEqual([1, 3, 3, 1]);
    expect(() => by(1, ledger.slice(0, 1))).toThrow('locked');
  });

  test('a story goes by the newest, and keeps the hash that the commitment binds', () => {
    const story = storyOf(ledger);
    expect([story.plan.title, story.plan.question]).toEqual(['Two', 'Three?']);
    expect([story.planHash, story.lockedHash]).toEqual([planHash(three), planHash(handPlan)]);
    const plain = storyOf(chained(handLines()));
    expect([plain.planHash, plain.lockedHash]).toEqual([planHash(handPlan), planHash(handPlan)]);
  });
});

test('what could be known is counted by the ledger, practice aside', () => {
  const lines: Line[] = [
    ...handLines(),
    ['staff:Bo', 'sheet-opened', { by: 'Bo', session: 2 }],
    ['staff:Cy', 'sheet-opened', { by: 'Cy', session: 2 }],
    ['staff:Ada', 'blind-review-opened', {}],
    ['staff:Dee', 'revealed', { session: 1, code: '203' }],
  ];
  expect(factsOf(chained(lines))).toEqual({
    answers: 6,
    sheets: ['Bo', 'Cy'],
    blindReview: ['Ada'],
    codes: ['Dee'],
  });
});

describe('after a code was revealed', () => {
  const lines = handLines();
  const at = lines.findIndex(([, kind, body]) => kind === 'answered' && body.trial === 'MT1');
  const flagsWith = (body: Record<string, unknown>) =>
    Object.fromEntries(
      storyOf(
        chained([...lines.slice(0, at + 1), ['staff:Dee', 'revealed', body], ...lines.slice(at + 1)]),
      ).sittings.flatMap(({ trials }) => trials.map(({ id, flags }) => [id, flags.join()])),
    );

  test('what that listener answers from then on is marked, and nothing else', () => {
    expect(flagsWith({ session: 1, code: '203', listener: 'L1', sitting: 'M', reason: 'A rash' })).toEqual({
      ...{ MT0: '', MT1: '', MT2: 'revealed', MT3: 'revealed', MT4: 'revealed' },
      ...{ NT0: '', NT1: '', NT2: '', NT3: '' },
    });
  });

  test('a carrier that was nobody’s marks nobody', () => {
    const flags = flagsWith({ session: 1, code: '203', listener: null, sitting: null, reason: 'A rash' });
    expect(new Set(Object.values(flags))).toEqual(new Set(['']));
  });
});

describe('an amendment in a record', () => {
  const said = [{ path: 'title', from: handPlan.title, to: 'Two' }];
  const body = (more: object = {}) => ({ ...(amendedTo(two, 1)[2] as object), changes: said, ...more });
  const found = (more: object, before: Line[] = []) =>
    amendmentLines(chained([...locked, ...before, ['staff:Ada', 'amended', body(more)]])).map(({ detail }) => detail);

  test('holds when it changed what it says and nothing else', () => {
    expect(found({})).toEqual([]);
    expect(amendmentLines(chained(locked))).toEqual([]);
  });

  test('rules about sound may change, and a product be named and taken back', () => {
    const played = { ...handPlan, sound: { ...usualSound, minimumSeconds: 3 } };
    const amended = { ...played, sound: { ...played.sound, minimumSeconds: 5 }, product: 'Nave' };
    const changes = [
      { path: 'product', from: null, to: 'Nave' },
      { path: 'sound.minimumSeconds', from: 3, to: 5 },
    ];
    const lock = (plan: Plan): Line[] => locked.map(([who, kind, own]) => [who, kind, { ...own, plan }]);
    const lines = (from: Plan, to: Plan, told: object[]) =>
      amendmentLines(
        chained([...lock(from), ['staff:Ada', 'amended', { ...(amendedTo(to, 1)[2] as object), changes: told }]]),
      );
    expect(lines(played, amended, changes)).toEqual([]);
    const back = changes.map(({ path, from, to }) => ({ path, from: to, to: from }));
    expect(lines(amended, played, back)).toEqual([]);
    // What is played, and by what it is matched, may not.
    const matched = [{ path: 'sound.alignment', from: 'checked', to: 'not-asked' }];
    expect(lines(played, played, matched)[0]?.detail).toMatch(/which no amendment can/);
  });

  const [first] = handPlan.prototypes;
  test.each<[string, object, RegExp]>([
    ['says nothing', { changes: [] }, /changed something that it doesn’t say/],
    ['says something else', { changes: [{ ...said[0], to: 'Three' }] }, /changed something that it doesn’t say/],
    [
      'says another value before',
      { changes: [{ ...said[0], from: 'x' }] },
      /says that title was something else before/,
    ],
    [
      'also renames a prototype',
      { plan: { ...two, prototypes: [{ ...first, name: 'Other' }, ...handPlan.prototypes.slice(1)] } },
      /changed something/,
    ],
    [
      'says so',
      { changes: [...said, { path: 'risks.alpha', from: 0.05, to: 0.2 }] },
      /changed risks\.alpha, which no amendment can/,
    ],
    ['bears another number', { number: 2 }, /amendment 1 bears another number/],
    [
      'hides what could be seen',
      { facts: { answers: 0, sheets: [], blindReview: [], codes: [] } },
      /other things could be seen/,
    ],
  ])('that %s is told', (_what, more, words) => {
    const before: Line[] = 'facts' in more ? [['staff:Bo', 'sheet-opened', { session: 1, by: 'Bo' }]] : [];
    expect(found(more, before)).toEqual([expect.stringMatching(words)]);
  });
});
