import { expect, test } from 'vitest';
import { gradesIn } from '../../shared/grade-fields';
import { actSchema } from '../../shared/wire';

test('grades come with their place and their scale, words with their place', () => {
  const fields: [string, string][] = [
    ['kind', 'grade'],
    ['grade_2_stage-width', '-3'],
    ['tenths_13_impairment', '4.3'],
    ['tick_1', 'warm'],
    ['tick_2', '-'],
    ['tick_1', 'thin'],
  ];
  expect(gradesIn(fields)).toEqual({
    grades: [
      { place: 2, scale: 'stage-width', value: -3 },
      { place: 13, scale: 'impairment', value: 43 },
    ],
    ticks: [
      { place: 1, attributes: ['warm', 'thin'] },
      { place: 2, attributes: [] },
    ],
  });
});

test('every tenth of a scale is stored as its whole number', () => {
  for (let stored = 10; stored <= 50; stored++) {
    const typed = [(stored / 10).toFixed(1), (stored / 10).toFixed(1).replace('.', ',')];
    for (const value of typed) expect(gradesIn([['tenths_2_i', value]]).grades[0]?.value).toBe(stored);
  }
});

test('what is no number is no grade, and what no scale has comes as it is, to be refused by the scale', () => {
  const value = (typed: string) => gradesIn([['grade_1_quality', typed]]).grades.map((one) => one.value);
  for (const typed of ['', ' ', 'bad', '1e3', '0x10', '--3', 'Infinity']) expect(value(typed)).toEqual([]);
  expect([value('50.5'), value('-7'), value('−7'), value('99999999')]).toEqual([[50.5], [-7], [-7], [9999]]);
  const base = {
    id: 'a'.repeat(26),
    trial: 'T',
    times: { sincePlaying: null, wall: 1 },
    kind: 'grade',
    presentation: 1,
  };
  for (const typed of ['50.5', '99999999']) {
    expect(actSchema.safeParse({ ...base, ...gradesIn([['grade_13_q', typed]]) }).error).toBeUndefined();
  }
  expect(actSchema.safeParse({ ...base, ...gradesIn([['grade_14_q', '5']]) }).success).toBe(false);
});

test('none and a word at once are both told', () => {
  const fields: [string, string][] = [
    ['tick_1', '-'],
    ['tick_1', 'warm'],
  ];
  expect(gradesIn(fields).ticks).toEqual([{ place: 1, attributes: ['-', 'warm'] }]);
});
