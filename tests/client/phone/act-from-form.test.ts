import { expect, test } from 'vitest';
import { actFromForm } from '../../../client/phone/act-from-form';
import { actSchema, wordsLimit } from '../../../shared/wire';

const id = 'abcdefghijklmnopqrstuvwxyz';
const times = { sincePlaying: 1234.5, wall: 1_790_000_000_000 };
const fields = (kind: string, ...more: [string, string][]): [string, string][] => [
  ['_csrf', 'secret'],
  ['kind', kind],
  ['trial', 'T1'],
  ['presentation', '2'],
  ...more,
];

test.each(['rested', 'fits', 'refit', 'plays', 'heard'])('%s carries its presentation', (kind) => {
  const act = actFromForm(fields(kind), id, times);
  expect(act).toEqual({ id, kind, trial: 'T1', presentation: 2, times });
  expect(actSchema.safeParse(act).success).toBe(true);
});

test('an answer carries the choice and nothing else', () => {
  const act = actFromForm(fields('answer', ['answer', '417']), id, times);
  expect(act).toEqual({ id, kind: 'answer', trial: 'T1', answer: '417', times });
  expect(actSchema.safeParse(act).success).toBe(true);
});

test('several fields are one answer together', () => {
  const group = actFromForm(fields('answer', ['pick', '4'], ['pick', '1']), id, times);
  const order = actFromForm(fields('answer', ['order_417', '2'], ['order_502', '1']), id, times);
  expect([group, order]).toMatchObject([{ answer: '1+4' }, { answer: '502>417' }]);
  for (const act of [group, order]) expect(actSchema.safeParse(act).success).toBe(true);
});

test('words carry the codes that something was written about', () => {
  const typed: [string, string][] = [
    ['words_502', '  bass\r\nfull '],
    ['words_417', '   '],
  ];
  const act = actFromForm(fields('words', ...typed), id, times);
  expect(act).toMatchObject({ kind: 'words', words: [{ code: '502', text: 'bass\nfull' }] });
  expect(actSchema.safeParse(act).success).toBe(true);
  expect(actFromForm(fields('words', ...typed, ['skip', 'yes']), id, times)).toMatchObject({ words: [] });
});

test('a line end counts once against the limit', () => {
  const typed = `${'a\r\n'.repeat(wordsLimit / 2 - 1)}ab`;
  const act = actFromForm(fields('words', ['words_417', typed]), id, times);
  expect(actSchema.safeParse(act).success).toBe(true);
});

test('ratings carry the first touch of each scale; one that nobody noted counts as touched now', () => {
  const typed: [string, string][] = [
    ['scale_stage-width', '7'],
    ['scale_liking', '-3'],
  ];
  const early = { sincePlaying: 900, wall: times.wall - 5_000 };
  const act = actFromForm(fields('rate', ...typed), id, times, (scale) => (scale === 'liking' ? early : null));
  expect(act).toEqual({
    id,
    kind: 'rate',
    trial: 'T1',
    times,
    ratings: [
      { scale: 'stage-width', value: 7, touched: times },
      { scale: 'liking', value: -3, touched: early },
    ],
  });
  expect(actSchema.safeParse(act).success).toBe(true);
});

test('a form that lacks a field, or has a strange kind, is a fault', () => {
  expect(() => actFromForm(fields('answer'), id, times)).toThrow('answer');
  expect(() => actFromForm(fields('guess'), id, times)).toThrow('guess');
});
