import { expect, test } from 'vitest';
import { handlingOf } from '../../server/blinding/handling';
import type { LedgerEntry } from '../../shared/record';

/** One line: seconds, who, what, and the rest. */
type Line = [seconds: number, actor: string, kind: string, body: Record<string, unknown>];
const ledger = (lines: Line[]): LedgerEntry[] =>
  lines.map(([seconds, actor, kind, body], i) => ({
    seq: i + 1,
    at: new Date(Date.UTC(2026, 2, 2, 9) + seconds * 1000).toISOString(),
    actor,
    kind,
    body,
    previous: '',
    hash: '',
  }));
const seated: Line = [
  0,
  'staff:Cy',
  'seated',
  { sitting: 'M', session: 'S', trials: [{ trial: 'M1' }, { trial: 'M2' }] },
];
const at = (trial: string, presentation: number, more = {}) => ({ sitting: 'M', trial, presentation, ...more });

test('how long a seat waited, how long it took to fit, how often it was put in again', () => {
  const found = handlingOf(
    ledger([
      seated,
      [12, 'staff:Cy', 'handed-over', at('M1', 1)],
      [20, 'listener:L', 'fitted', at('M1', 1, { retries: 2 })],
      [40, 'listener:L', 'heard', at('M1', 1)],
      [45, 'staff:Cy', 'taken-back', { sitting: 'M', trial: 'M1' }],
      [45, 'staff:Dee', 'handed-over', at('M1', 2)],
      [49, 'listener:L', 'fitted', at('M1', 2, { retries: 0 })],
      [60, 'listener:L', 'heard', at('M1', 2)],
      [65, 'listener:L', 'answered', { trial: 'M1' }],
      [70, 'listener:L', 'worded', { trial: 'M1' }],
      // What comes back between two trials doesn't end the wait.
      [74, 'staff:Cy', 'taken-back', { sitting: 'M', trial: 'M1' }],
      [79, 'staff:Cy', 'handed-over', at('M2', 1)],
    ]),
  );
  expect(found.handOvers).toEqual([
    { trial: 'M1', presentation: 1, operator: 'Cy', waitedMs: 12_000 },
    { trial: 'M1', presentation: 2, operator: 'Dee', waitedMs: 5_000 },
    { trial: 'M2', presentation: 1, operator: 'Cy', waitedMs: 9_000 },
  ]);
  expect(found.fits).toEqual([
    { trial: 'M1', presentation: 1, retries: 2, fittingMs: 8_000 },
    { trial: 'M1', presentation: 2, retries: 0, fittingMs: 4_000 },
  ]);
});

test('a rest before a first impression is no fitting', () => {
  const found = handlingOf(
    ledger([
      seated,
      [5, 'staff:Cy', 'handed-over', at('M1', 1)],
      [16, 'listener:L', 'rested', at('M1', 1)],
      [22, 'listener:L', 'fitted', at('M1', 1, { retries: 0 })],
    ]),
  );
  expect(found.fits).toEqual([{ trial: 'M1', presentation: 1, retries: 0, fittingMs: 6_000 }]);
});

test('taken back unheard, the seat waits anew', () => {
  const found = handlingOf(
    ledger([
      seated,
      [5, 'staff:Cy', 'handed-over', at('M1', 1)],
      [30, 'staff:Cy', 'taken-back', { sitting: 'M', trial: 'M1' }],
      [33, 'staff:Cy', 'handed-over', at('M1', 1)],
    ]),
  );
  expect(found.handOvers.map(({ waitedMs }) => waitedMs)).toEqual([5_000, 3_000]);
});

test('a pause, and whoever is away, make no time', () => {
  const found = handlingOf(
    ledger([
      seated,
      [5, 'staff:Cy', 'session-paused', { session: 'S' }],
      [90, 'staff:Cy', 'session-resumed', { session: 'S' }],
      [94, 'staff:Cy', 'handed-over', at('M1', 1)],
      [99, 'listener:L', 'stopped', { sitting: 'M' }],
      [140, 'staff:Cy', 'seat-again', { sitting: 'M' }],
      [150, 'listener:L', 'fitted', at('M1', 1, { retries: 1 })],
    ]),
  );
  expect(found.handOvers.map(({ waitedMs }) => waitedMs)).toEqual([4_000]);
  expect(found.fits).toEqual([{ trial: 'M1', presentation: 1, retries: 1, fittingMs: null }]);
});

test('a trial taken out sets the seat waiting for the next', () => {
  const found = handlingOf(
    ledger([
      seated,
      [5, 'staff:Cy', 'handed-over', at('M1', 1)],
      [20, 'staff:Cy', 'trial-voided', { sitting: 'M', trial: 'M1' }],
      [24, 'staff:Cy', 'taken-back', { sitting: 'M', trial: 'M1' }],
      [31, 'staff:Cy', 'handed-over', at('M2', 1)],
    ]),
  );
  expect(found.handOvers.map(({ waitedMs }) => waitedMs)).toEqual([5_000, 11_000]);
});

test('a hand-over at a seat that the ledger doesn’t know is none', () => {
  expect(handlingOf(ledger([[1, 'staff:Cy', 'handed-over', { code: '417' }]])).handOvers).toEqual([]);
});
