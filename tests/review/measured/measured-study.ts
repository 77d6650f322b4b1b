import type { Plan } from '../../../shared/plan';
import type { StudyRecord } from '../../../shared/record';
import type { Line } from '../../blinding/hand-ledger';
import { recordOfLines } from '../../blinding/hand-ledger';
import { randomStudy, type Wish } from '../random-study';

/** Points from 17 Hz to 26 kHz, twelve to the octave. */
export const frequencies = Array.from({ length: 128 }, (_, i) => 17 * 2 ** (i / 12));

/** A level by frequency, as a response in the ledger. */
export const response = (left: (f: number) => number, right = left): unknown => ({
  sha256: 'a'.repeat(64),
  frequencies,
  left: frequencies.map(left),
  right: frequencies.map(right),
});

/** So many dB more below 150 Hz, gone at 400 Hz, over a curve that all share. */
export const bassShelf =
  (decibels: number) =>
  (f: number): number => {
    const part = f <= 150 ? 1 : f >= 400 ? 0 : Math.log(400 / f) / Math.log(400 / 150);
    return 95 + 4 * Math.sin(2 * Math.log(f)) + decibels * part;
  };

export const measured = (unit: string, of: unknown, at = 94): Line => [
  'staff:Ada',
  'level-measured',
  {
    ...{ unit, serial: unit, left: at, right: at, measuredOn: '2026-02-27' },
    ...{ device: 'coupler after IEC 60318-4', method: '1 kHz at 0.1 V', response: of },
  },
];

/** A study played by the book with these lines noted in front of it, after the plan was locked. */
export function withLines(plan: Plan, wish: Wish, lines: readonly Line[]): StudyRecord {
  const [locked, ...rest] = randomStudy(plan, wish).lines;
  return recordOfLines([locked as Line, ...lines, ...rest]);
}
