import { expect, test } from 'vitest';
import { sharedUnits } from '../../server/blinding/shared-units';
import type { SittingStory } from '../../server/blinding/story';
import { storyOf } from '../../server/blinding/story';
import { blindOf } from '../../server/review/blind';
import { aPlan } from './a-plan';
import { chained, type Line } from './hand-ledger';

/** Whether seats shared units, and what that makes of a study's label. */

const sitting = (ordinal: number, from: number, to: number | null, session = 1) =>
  ({ sessionNumber: session, audience: 'home', ordinal, from, to }) as SittingStory;
const key = (...units: string[]) => ({
  seed: '',
  key: units.map((unit, i) => ({
    session: 1,
    audience: 'home',
    ordinal: i + 1,
    sitting: 1,
    trials: [{ ordinal: 1, practice: false, replaces: null, prototypes: [], units: [unit], codes: [] }],
  })),
});

test.each<[what: string, sittings: SittingStory[], units: string[], shared: boolean]>([
  ['two at once with one unit', [sitting(1, 1, 9), sitting(2, 5, 12)], ['u', 'u'], true],
  ['one after the other', [sitting(1, 1, 4), sitting(2, 5, 12)], ['u', 'u'], false],
  ['two at once, a unit for each', [sitting(1, 1, 9), sitting(2, 5, 12)], ['u', 'v'], false],
  ['one that never ended', [sitting(1, 1, null), sitting(2, 5, 12)], ['u', 'u'], true],
  ['in two sessions', [sitting(1, 1, null), sitting(2, 5, 12, 2)], ['u', 'u'], false],
])('%s', (_what, sittings, units, shared) => {
  expect(sharedUnits({ sittings, key: key(...units) })).toBe(shared);
});

const seated = (ordinal: number): Line => [
  'staff:Cy',
  'seated',
  {
    sitting: `S${ordinal}`,
    session: 'SE1',
    sessionNumber: 1,
    listener: `L${ordinal}`,
    audience: 'home',
    ordinal,
    number: 1,
    trials: [],
  },
];
const finished = (ordinal: number): Line => ['system', 'sitting-finished', { sitting: `S${ordinal}` }];

function labelled(method: 'abx' | 'paired-preference', order: Line[]) {
  const locked = {
    plan: aPlan({ method, handling: 'two-person' }),
    planHash: '0'.repeat(64),
    commitment: '0'.repeat(64),
  };
  const lines: Line[] = [['staff:Ada', 'plan-locked', locked], ...order, ['staff:Ada', 'unsealed', key('u', 'u')]];
  const ledger = chained(lines);
  return blindOf(storyOf(ledger), ledger);
}
const atOnce = [seated(1), seated(2), finished(1), finished(2)];
const inTurn = [seated(1), finished(1), seated(2), finished(2)];

test('ABX with units that two seats shared is blind for listeners only: which codes are one sample is the answer', () => {
  const told = labelled('abx', atOnce);
  expect(told.label).toBe('Blind for listeners only');
  expect(told.notes.join()).toContain('which is the answer');
  expect(labelled('abx', inTurn)).toMatchObject({ label: 'Double blind' });
  const preference = labelled('paired-preference', atOnce);
  expect(preference.label).toBe('Double blind');
  expect(preference.notes.join()).toContain('though not which prototype it was');
  expect(labelled('paired-preference', inTurn).notes.join()).not.toContain('shared');
});
