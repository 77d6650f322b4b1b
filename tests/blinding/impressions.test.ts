import { describe, expect, test } from 'vitest';
import { outcomesOf } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { chained, type Line } from './hand-ledger';
import { declared, heard, impressionLines, rated, rating, resumed, seated } from './impression-ledger';

const outcomes = (middle: Line[]) => outcomesOf(storyOf(chained(impressionLines(middle))));
const both = (touched = 3_000, by: 'monotonic' | 'wall' = 'monotonic') => [
  rating('bass', 2, touched, by),
  rating('liking', -1, touched, by),
];

describe('an answer on two scales is two outcomes', () => {
  test('each with its value, its scale, and where it stands in the study', () => {
    const seen = outcomes([seated('M', 1), ...heard('M1'), rated('M1', both())]);
    expect(seen.map(({ scale, value }) => [scale, value])).toEqual([
      ['liking', -1],
      ['bass', 2],
    ]);
    expect(seen[0]).toMatchObject({
      prototypes: ['proto-a'],
      units: ['unit-a1'],
      sessionNumber: 1,
      sittingNumber: 1,
      late: false,
      flags: [],
    });
  });

  test('practice on the page alone is no outcome and no hearing', () => {
    const practice: Line = ['listener:L1', 'answered', { trial: 'M0', ratings: both(), practice: true }];
    const seen = outcomes([seated('M', 1), practice, ...heard('M1'), rated('M1', both())]);
    expect(seen.map(({ trial, exposure }) => [trial, exposure])).toEqual([
      ['M1', 1],
      ['M1', 1],
    ]);
  });
});

describe('late is a first touch after the window and the time for answering', () => {
  test.each([
    ['at the last moment', 30_000, 'monotonic', false],
    ['a millisecond after it', 30_001, 'monotonic', true],
    ['by the wall clock, where the page was loaded anew', 30_001, 'wall', true],
    ['by the wall clock, in time', 29_000, 'wall', false],
  ] as const)('%s', (_what, touched, by, late) => {
    const seen = outcomes([seated('M', 1), ...heard('M1'), rated('M1', both(touched, by), 40_000)]);
    expect(seen.map((one) => one.late)).toEqual([late, late]);
  });

  test('scale by scale: one may be late and another not', () => {
    const ratings = [rating('liking', 0, 4_000), rating('bass', 1, 31_000)];
    expect(outcomes([seated('M', 1), ...heard('M1'), rated('M1', ratings)]).map(({ late }) => late)).toEqual([
      false,
      true,
    ]);
  });
});

describe('exposures are counted by listener and prototype', () => {
  const firstSitting = [seated('M', 1), ...heard('M1'), rated('M1', both()), ...heard('M2'), rated('M2', both())];
  const exposures = (middle: Line[]) =>
    outcomes(middle)
      .filter(({ scale }) => scale === 'liking')
      .map(({ trial, exposure }) => [trial, exposure]);

  test('over sittings', () => {
    expect(exposures([...firstSitting, seated('N', 2), ...heard('N1'), rated('N1', both())])).toEqual([
      ['M1', 1],
      ['M2', 1],
      ['N1', 2],
    ]);
  });

  test('a page that was loaded anew in the window counts again, and is flagged', () => {
    const middle = [seated('M', 1), ...heard('M1'), resumed('M1'), rated('M1', both())];
    expect(exposures(middle)).toEqual([['M1', 2]]);
    expect(outcomes(middle)[0]?.flags).toEqual(['reloaded']);
  });

  test.each([
    [9_999, 2],
    [10_001, 1],
  ])(
    'loaded anew %d ms after the first sound: heard %d times, for after the window nothing is heard',
    (after, heardTimes) => {
      const [actor, kind, body] = resumed('M1');
      const again: Line = [actor, kind, { ...body, times: { sincePlaying: null, wall: 1_000_000 + after } }];
      const middle = [seated('M', 1), ...heard('M1'), again, rated('M1', both())];
      expect(exposures(middle)).toEqual([['M1', heardTimes]]);
      expect(outcomes(middle)[0]?.flags).toEqual(['reloaded']);
    },
  );

  test('what was fitted and taken away before it played is no hearing; a spoilt trial that played is one', () => {
    const fitted = heard('M1').slice(0, 1);
    const voided: Line = ['staff:Cy', 'trial-voided', { trial: 'M2', sitting: 'M', reason: 'disturbed', text: '' }];
    const middle = [seated('M', 1), ...fitted, ...heard('M1'), rated('M1', both()), ...heard('M2'), voided];
    expect(exposures([...middle, seated('N', 2), ...heard('N1'), rated('N1', both())])).toEqual([
      ['M1', 1],
      ['N1', 2],
    ]);
  });

  test('what was declared counts from then on, for that prototype alone', () => {
    const later = [seated('N', 2), ...heard('N1'), rated('N1', both()), ...heard('N2'), rated('N2', both())];
    expect(exposures([...firstSitting, declared('proto-b', 40), ...later])).toEqual([
      ['M1', 1],
      ['M2', 1],
      ['N1', 42],
      ['N2', 2],
    ]);
    expect(exposures([declared('proto-a', 3), ...firstSitting])).toEqual([
      ['M1', 4],
      ['M2', 1],
    ]);
  });
});

describe('an impression that is gone on with after the listener was away', () => {
  const at: Line = ['staff:Cy', 'handed-over', { sitting: 'M', trial: 'M1', presentation: 1, code: '203' }];
  const back: Line = ['staff:Cy', 'taken-back', { sitting: 'M', trial: 'M1', code: '203' }];
  const [stopped, out] = (['stopped', 'seat-out'] as const).map((kind): Line => ['x', kind, { sitting: 'M', seat: 1 }]);
  const again: Line = ['staff:Cy', 'seat-again', { sitting: 'M' }];
  const [paused, resumed] = (['paused', 'resumed'] as const).map(
    (what): Line => ['staff:Cy', `session-${what}`, { session: 'SE1' }],
  );
  const noted: Line = ['staff:Cy', 'incident', { category: 'noise', text: '' }];
  const begin = [seated('M', 1), at, ...heard('M1')];
  const told = (between: Line[]) => {
    const [first] = outcomes([...begin, ...between, rated('M1', both())]);
    return [first?.flags, first?.exposure];
  };

  test.each([
    ['stopped, the sample taken back', [stopped, back, again], 1],
    ['taken out, the sample taken back', [out, back, again], 1],
    ['back to the sample within the window', [out, again], 2],
    ['back to the sample after the window', [out, ...Array<Line>(10).fill(noted), again], 1],
    ['a pause for all within the window', [paused, resumed], 2],
    ['a pause, and the sample taken back', [paused, back, resumed], 1],
    ['a pause while the listener was away', [out, paused, resumed, back, again], 1],
    ['begun anew after it came to nothing', [out, back, again, at, ...heard('M1')], 2],
  ] as [string, Line[], number][])('%s: marked, and heard as often as it may have been', (_what, between, times) => {
    expect(told(between)).toEqual([['interrupted'], times]);
  });

  test('nothing is marked that came to an end before, or had not begun, or was elsewhere', () => {
    expect(told([out as Line])).toEqual([[], 1]);
    expect(told([['staff:Cy', 'seat-again', { sitting: 'N' }]])).toEqual([[], 1]);
    expect(told([['staff:Cy', 'session-resumed', { session: 'SE2' }]])).toEqual([[], 1]);
    const [first] = outcomes([...begin, rated('M1', both()), out as Line, again]);
    expect(first?.flags).toEqual([]);
    const before = outcomes([seated('M', 1), at, out as Line, back, again, at, ...heard('M1'), rated('M1', both())]);
    expect(before[0]?.flags).toEqual([]);
  });
});

describe('what is marked', () => {
  test('a sitting by a rule of the plan, and outside listening; the reason stands nowhere', () => {
    const checkedIn: Line = ['listener:L1', 'checked-in', { sitting: 'M', marked: true, outside: true }];
    const [first] = outcomes([checkedIn, seated('M', 1), ...heard('M1'), rated('M1', both())]);
    expect(first?.flags).toEqual(['marked', 'outside-listening']);
  });

  test('two clocks of one phone that part company', () => {
    const stoodStill = rated('M1', both(), 15_000, 1_000_000 + 60_000);
    expect(outcomes([seated('M', 1), ...heard('M1'), stoodStill])[0]?.flags).toEqual(['clocks-disagree']);
    const close = rated('M1', both(), 15_000, 1_000_000 + 16_500);
    expect(outcomes([seated('M', 1), ...heard('M1'), close])[0]?.flags).toEqual([]);
  });

  test('a rest that was cut short', () => {
    const [fitted, started] = heard('M1') as [Line, Line];
    const short: Line = [started[0], started[1], { ...started[2], shortRest: true }];
    expect(outcomes([seated('M', 1), fitted, short, rated('M1', both())])[0]?.flags).toEqual(['short-rest']);
  });
});

test('an answer that leaves a scale out is none', () => {
  expect(() => outcomes([seated('M', 1), ...heard('M1'), rated('M1', [rating('liking', 1, 3_000)])])).toThrow(
    'The answer to trial M1 is none of those that were offered.',
  );
});
