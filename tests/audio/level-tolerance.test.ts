import fc from 'fast-check';
import { expect, test } from 'vitest';
import { judgeLevel, judgeMeasurement } from '../../server/audio/level-tolerance';

test.each([
  ['file', 0.05, 'passes'],
  ['file', 0.1, 'passes'],
  ['file', 0.101, 'warns'],
  ['file', 0.15, 'warns'],
  ['file', 0.3, 'warns'],
  ['file', 0.5, 'warns'],
  ['file', 0.501, 'beyond'],
  ['file', 0.6, 'beyond'],
  ['coupler', 0.05, 'passes'],
  ['coupler', 0.15, 'passes'],
  ['coupler', 0.2, 'passes'],
  ['coupler', 0.201, 'warns'],
  ['coupler', 0.3, 'warns'],
  ['coupler', 0.5, 'warns'],
  ['coupler', 0.501, 'beyond'],
  ['coupler', 0.6, 'beyond'],
] as const)('%s, %f dB: %s', (kind, difference, judgement) => {
  expect(judgeLevel(kind, difference)).toBe(judgement);
  expect(judgeLevel(kind, -difference)).toBe(judgement);
});

test('a difference of decimal fractions is no further out than it reads', () => {
  expect(94.3 - 94.1).toBeGreaterThan(0.2);
  expect(judgeLevel('coupler', 94.3 - 94.1)).toBe('passes');
});

test('what is no number never passes', () => {
  for (const kind of ['file', 'coupler'] as const) {
    expect(judgeLevel(kind, Number.NaN)).toBe('beyond');
    expect(judgeLevel(kind, Number.POSITIVE_INFINITY)).toBe('beyond');
  }
});

test('further apart is never judged milder, nor a file milder than a coupler', () => {
  const rank = { passes: 0, warns: 1, beyond: 2 };
  const difference = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(difference, difference, (a, b) => {
      for (const kind of ['file', 'coupler'] as const) {
        expect(rank[judgeLevel(kind, Math.min(a, b))]).toBeLessThanOrEqual(rank[judgeLevel(kind, Math.max(a, b))]);
      }
      expect(rank[judgeLevel('coupler', a)]).toBeLessThanOrEqual(rank[judgeLevel('file', a)]);
    }),
    { seed: 7 },
  );
});

const at = (text: string) => new Date(text);
const now = at('2030-06-30T12:00:00Z');

test.each([
  ['none', null, undefined, 'missing'],
  ['no date', at('some day'), undefined, 'missing'],
  ['this minute', now, undefined, 'fresh'],
  ['30 days to the millisecond', at('2030-05-31T12:00:00.000Z'), undefined, 'fresh'],
  ['a millisecond more', at('2030-05-31T11:59:59.999Z'), undefined, 'stale'],
  ['before the rework', at('2030-06-20T08:00:00Z'), at('2030-06-21T08:00:00Z'), 'stale'],
  ['at the rework', at('2030-06-21T08:00:00Z'), at('2030-06-21T08:00:00Z'), 'stale'],
  ['after the rework', at('2030-06-21T08:00:01Z'), at('2030-06-21T08:00:00Z'), 'fresh'],
  ['never reworked', at('2030-06-21T08:00:00Z'), null, 'fresh'],
  ['reworked at a time that is none', at('2030-06-21T08:00:00Z'), at('some day'), 'stale'],
  ['today, east of here', at('2030-07-01T00:00:00Z'), undefined, 'fresh'],
  ['two days ahead', at('2030-07-02T12:00:00Z'), undefined, 'stale'],
] as const)('measured: %s', (_, measuredAt, reworkedAt, judgement) => {
  const rework = reworkedAt === undefined ? {} : { reworkedAt };
  expect(judgeMeasurement({ measuredAt, now, staleDays: 30, ...rework })).toBe(judgement);
});
