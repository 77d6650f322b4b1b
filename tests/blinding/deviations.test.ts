import { expect, test } from 'vitest';
import { majorDeviations } from '../../server/blinding/deviations';
import { chained, handLines, type Line } from './hand-ledger';

const wordsOf = (lines: readonly Line[]) => majorDeviations(chained(lines)).map(({ words }) => words);
/** The hand-written study with these put in before its last entry, the unsealing. */
const before = (...more: Line[]): Line[] => [...handLines().slice(0, -1), ...more, ...handLines().slice(-1)];

test('of a study that went as planned there are none, nor of what has a signature already or stands in the letter', () => {
  expect(wordsOf(handLines())).toEqual([]);
  const level = { units: ['S-A1'], reason: 'the coupler is away' };
  expect(wordsOf(before(['staff:Ada', 'level-deviation', level]))).toEqual([]);
  expect(wordsOf([...handLines(), ['staff:Ada', 'excluded', { what: 'trial', id: 'MT1', reason: 'x' }]])).toEqual([]);
});

test('a code revealed, a key put back, and a study that became single blind on the way, with who and why', () => {
  const revealed = { code: '203', session: 1, reason: 'a rash' };
  expect(
    wordsOf(
      before(
        ['staff:Bo', 'revealed', revealed],
        ['staff:Ada', 'key-put-back', {}],
        ['staff:Ada', 'single-blind', { reason: 'Bo fell ill' }],
      ),
    ),
  ).toEqual([
    expect.stringMatching(/^A code was revealed before the end \(Bo, .*\): code 203, session 1: a rash$/),
    expect.stringMatching(/^The key was put back for a while \(Ada, /),
    'The study became single blind: Bo fell ill',
  ]);
  // What is open to all gives nothing away.
  expect(wordsOf([...handLines(), ['staff:Bo', 'revealed', revealed]])).toEqual([]);
});

test('an amendment counts once there are answers, and always where it reopened the study', () => {
  const [created, locked] = handLines() as [Line, Line];
  const amended = (reopened: boolean): Line => [
    'staff:Ada',
    'amended',
    { ...locked[2], number: 1, planVersion: 2, reason: 'two fell ill', changes: [], facts: {}, reopened },
  ];
  const early = [created, locked, amended(false), ...handLines().slice(2)];
  expect(wordsOf(early)).toEqual([]);
  expect(wordsOf(before(amended(false)))).toEqual([
    expect.stringMatching(/^Amendment 1 changed the plan when there were answers \(Ada, .*\): two fell ill$/),
  ]);
  expect(wordsOf(before(amended(true)))[0]).toMatch(/^Amendment 1 reopened the study/);
});

test('a ledger that went back says which entry tells of it', () => {
  const lines = before(['server', 'restored', { madeAt: '2026-03-01T09:00:00.000Z', replaced: null }]);
  const [found] = majorDeviations(chained(lines));
  expect(found?.entry).toBe(lines.length - 1);
  expect(found?.words).toContain('A backup of');
});
