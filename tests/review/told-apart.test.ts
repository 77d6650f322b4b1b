import { expect, test } from 'vitest';
import { groupsCaption, inseparable, placesOf } from '../../server/review/told-apart';
import { aPlan } from '../blinding/a-plan';

/** Pairs as the letter has them: a corrected p each, or none where nobody compared the two. */
const pairs = (ps: Record<string, number | null>) =>
  Object.entries(ps).map(([names, pAdjusted]) => ({
    first: `proto-${names[0]}`,
    second: `proto-${names[1]}`,
    pAdjusted,
  }));
const ids = (letters: string): string[] => [...letters].map((one) => `proto-${one}`);

test('neighbours whose corrected p is over α, whichever of the two stands first in their pair', () => {
  const found = inseparable(ids('cab'), pairs({ ab: 0.3, ac: 0.051, bc: 0.05 }), 0.05);
  expect(found).toEqual([ids('ca'), ids('ab')]);
});

test('a pair that nobody compared is not told apart; one that is joins nothing', () => {
  expect(inseparable(ids('abc'), pairs({ ab: 0.001, ac: 0.001, bc: null }), 0.05)).toEqual([ids('bc')]);
  expect(inseparable(ids('abc'), pairs({ ab: 0.001, ac: 0.001, bc: 0.02 }), 0.05)).toEqual([]);
});

test('of two the verdict says it, so nothing stands beside them', () => {
  expect(inseparable(ids('ab'), pairs({ ab: 0.9 }), 0.05)).toEqual([]);
});

test('where one between two is from either, the two are a group and the line passes it by', () => {
  const groups = inseparable(ids('abc'), pairs({ ab: 0.01, ac: 0.4, bc: 0.01 }), 0.05);
  expect(groups).toEqual([ids('ac')]);
  expect(placesOf(groups, ids('abc'))).toEqual([[0, 2]]);
  expect(placesOf(groups, ids('cba'))).toEqual([[0, 2]]);
});

test('the caption names them, in the order that came out', () => {
  const plan = aPlan({ prototypes: 3 });
  expect(groupsCaption([ids('ca'), ids('ab')], plan)).toBe(
    ' Thin lines at the right join what these data can’t tell apart: Prototype C and Prototype A; Prototype A and Prototype B.',
  );
  expect(groupsCaption([], plan)).toBe('');
});
