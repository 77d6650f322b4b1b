import { expect, test } from 'vitest';
import { planHash } from '../../server/blinding/key';
import { findingsOf } from '../../server/review/findings';
import { plannedDoneRows } from '../../server/review/planned-done-rows';
import type { PlannedDone } from '../../shared/findings-done';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { type Line, recordOfLines } from '../blinding/hand-ledger';
import { randomStudy } from './random-study';

const plan = aPlan({
  method: 'paired-preference',
  repeats: 3,
  sessions: 2,
  audiences: [
    ['home', 5],
    ['stage', 3],
  ],
});

const doneOf = (lines: readonly Line[]) => findingsOf(recordOfLines(lines));
const item = (
  found: { plannedDone?: PlannedDone[] | undefined },
  name: PlannedDone['item'],
  of: string | null = null,
) => found.plannedDone?.find((one) => one.item === name && (of === null || one.of === of));

test('a study by the book: everything is kept but what nobody records', () => {
  const { lines } = randomStudy({ ...plan, sessions: { ...plan.sessions, minimumGapHours: 0 } }, { seed: 4 });
  const found = doneOf(lines);
  const odd = (found.plannedDone ?? [])
    .filter(({ outcome }) => outcome !== 'kept')
    .map(({ item: name, outcome }) => [name, outcome]);
  // Eight listeners are too few for the smallest share worth finding; nothing was measured.
  expect(odd).toEqual([
    ['tips', 'not-recorded'],
    ['levels', 'not-recorded'],
    ['playback', 'not-recorded'],
    ['power', 'changed'],
    ['power', 'changed'],
  ]);
  expect(item(found, 'trials')).toMatchObject({ planned: 3, done: 48, outOf: 48 });
  expect(item(found, 'listeners', 'home')).toMatchObject({ planned: 5, done: 5 });
  expect(item(found, 'order')).toMatchObject({ planned: 'committed', done: 'committed', outOf: 0 });
});

test('what came otherwise is counted, with the reason that somebody gave', () => {
  const { lines } = randomStudy(
    { ...plan, sessions: { ...plan.sessions, minimumGapHours: 18 } },
    { seed: 4, extra: -1, leave: 0.2, miss: 0.3 },
  );
  const at = lines.findIndex(([, kind]) => kind === 'study-closed');
  const units = plan.prototypes.flatMap((one) => one.units.map(({ id }) => id));
  const more: Line[] = [
    ['staff:Cy', 'single-blind', { reason: 'The preparer fell ill' }],
    ...units.map((unit): Line => {
      const measured = { left: 94, right: 94, device: 'Coupler', method: 'pink noise' };
      return ['staff:Bo', 'level-measured', { unit, on: '2026-03-01', ...measured }];
    }),
    ['staff:Bo', 'level-deviation', { reason: 'No coupler that day', of: [] }],
    ['staff:Bo', 'unit-reworked', { unit: plan.prototypes[0]?.units[0]?.id }],
  ];
  const found = doneOf([...lines.slice(0, at), ...more, ...lines.slice(at)]);
  expect(item(found, 'listeners', 'home')).toMatchObject({ planned: 5, outcome: 'changed' });
  expect(item(found, 'handling')).toMatchObject({
    done: 'single-blind',
    outcome: 'changed',
    reasons: ['The preparer fell ill'],
  });
  expect(item(found, 'levels')).toMatchObject({
    done: units.length,
    outcome: 'changed',
    reasons: ['Bo: No coupler that day'],
  });
  expect(item(found, 'unit-rework')).toMatchObject({ planned: 0, done: 1, outcome: 'changed' });
  // The entries of this record are a second apart.
  expect(item(found, 'gap')).toMatchObject({ planned: 18, done: 0, outcome: 'changed' });
  expect(item(found, 'every-sitting')?.outcome).toBe('changed');
  expect(item(found, 'trials')?.outcome).toBe('changed');
  const rows = plannedDoneRows(found, plan) ?? [];
  expect(
    rows.every(({ item: label, planned, done }) => `${label}${planned}${done}`.match(/undefined|null|NaN/) === null),
  ).toBe(true);
  expect(rows.find(({ item: label }) => label === 'Handling')).toMatchObject({
    kept: false,
    why: ['The preparer fell ill'],
  });
});

test('an amendment is told at what it changed, against the plan as it was locked', () => {
  const { lines } = randomStudy(plan, { seed: 4 });
  const locked: Plan = {
    ...plan,
    audiences: plan.audiences.map((one) => (one.id === 'home' ? { ...one, listeners: 9 } : one)),
    title: 'Before',
  };
  const changes = [
    { path: 'audiences.0.listeners', from: 9, to: 5 },
    { path: 'title', from: 'Before', to: plan.title },
  ];
  const amended: Line = [
    'staff:Ada',
    'amended',
    {
      ...{
        number: 1,
        reason: 'Too few came',
        plan,
        planVersion: 2,
        planHash: planHash(plan),
        changes,
        reopened: false,
      },
      ...{ seen: { kind: 'progress', words: '' }, facts: { answers: 0, sheets: [], blindReview: [], codes: [] } },
    },
  ];
  const [first, ...rest] = lines as [Line, ...Line[]];
  const before: Line = [first[0], first[1], { ...first[2], plan: locked, planHash: planHash(locked) }];
  const found = doneOf([before, amended, ...rest]);
  expect(item(found, 'listeners', 'home')).toMatchObject({ planned: 9, done: 5, outcome: 'changed', amendments: [1] });
  expect(item(found, 'listeners', 'stage')).toMatchObject({ planned: 3, done: 3, outcome: 'kept', amendments: [] });
  expect(item(found, 'amended', 'title')).toMatchObject({ planned: 'Before', done: plan.title, amendments: [1] });
  const row = plannedDoneRows(found, plan)?.find(({ item: label }) => label.startsWith('Listeners'));
  expect(row?.why).toEqual(['Amended: amendment 1']);
  // The seed was committed to together with another plan than this one, which is told.
  expect(item(found, 'order')).toMatchObject({ done: 'another-seed', outcome: 'changed' });
});
