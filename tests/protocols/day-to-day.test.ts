import { describe, expect, test } from 'vitest';
import { dayToDay } from '../../protocols/day-to-day';
import type { Repeat } from '../../protocols/sitting-figures';
import type { ListenerId } from '../../shared/brands';

/** `1 3 | 5` is 1 and 3 on one day and 5 on the next. */
const said = (listener: string, words: string, thing = ''): Repeat[] =>
  words.split('|').flatMap((day, d) =>
    day
      .trim()
      .split(/\s+/)
      .filter(Boolean)
      .map((value) => ({ listener: listener as ListenerId, sitting: d + 1, thing, value: Number(value) })),
  );

describe('days apart from what is within them', () => {
  test('four plants, three leaves, two determinations (Snedecor & Cochran 1967, Statistical Methods, table 10.16.1; from memory)', () => {
    const found = dayToDay([
      ...said('1', '3.28 3.09 | 3.52 3.48 | 2.88 2.80'),
      ...said('2', '2.46 2.44 | 1.87 1.92 | 2.19 2.19'),
      ...said('3', '2.77 2.66 | 3.74 3.44 | 2.55 2.55'),
      ...said('4', '3.78 3.87 | 4.07 4.12 | 3.31 3.31'),
    ]);
    // 0.0067, and 0.1610 between leaves of a plant.
    expect(found?.withinDay).toBeCloseTo(0.0067, 4);
    expect(found?.betweenDays).toBeCloseTo(0.161, 3);
    expect(found).toMatchObject({ answers: 24, days: 12, listeners: 4 });
  });

  test('days of different length, by hand', () => {
    // Within: 2 + 8 over 7 − 4. Days: 6 + 3 = 9; Σn²/n: 5/3 + 10/4. (9 − 2·10/3)/(7 − 25/6) = 14/17.
    const found = dayToDay([...said('1', '1 3 | 5'), ...said('2', '2 | 2 4 6')]);
    expect(found?.withinDay).toBeCloseTo(10 / 3, 12);
    expect(found?.betweenDays).toBeCloseTo(14 / 17, 12);
    expect(found?.share).toBeCloseTo(14 / 17 / (10 / 3 + 14 / 17), 12);
  });

  test('things are judged apart: that one lies higher is no spread of days', () => {
    const one = [...said('1', '1 2 | 4 3', 'a'), ...said('1', '11 12 | 14 13', 'b')];
    const alone = dayToDay(said('1', '1 2 | 4 3'));
    expect(dayToDay(one)?.betweenDays).toBeCloseTo(alone?.betweenDays ?? -1, 12);
    expect(dayToDay(one)?.listeners).toBe(1);
  });

  test('names and order of arrival move no digit', () => {
    const answers = [...said('1', '1 3 | 5'), ...said('2', '2 | 2 4 6'), ...said('3', '0.1 0.7 | 0.3')];
    const renamed = answers.map((one) => ({ ...one, listener: `${9 - Number(one.listener)}` as ListenerId })).reverse();
    expect(dayToDay(renamed)).toEqual(dayToDay(answers));
  });

  test('days that differ less than answers within them add nothing, and are not below it', () => {
    expect(dayToDay([...said('1', '1 5 | 5 1'), ...said('2', '2 4 | 4 2')])).toMatchObject({
      betweenDays: 0,
      share: 0,
    });
  });

  test.each([
    ['one answer a day', said('1', '1 | 3 | 2')],
    ['one day', said('1', '1 2 3')],
    ['nothing', []],
  ])('%s: can’t be told', (_what, answers) => {
    expect(dayToDay(answers)).toBeNull();
  });

  test('all the same: neither varies, and there is no share', () => {
    expect(dayToDay(said('1', '2 2 | 2 2'))).toMatchObject({ withinDay: 0, betweenDays: 0, share: null });
  });
});
