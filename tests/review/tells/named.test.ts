import { describe, expect, test } from 'vitest';
import { methodOf } from '../../../protocols/index';
import { namedIn } from '../../../server/review/tells/named';
import { aPlan } from '../../blinding/a-plan';

/** Which side an answer leans to, by every form. Codes fall from the second on, so that the higher code comes earlier. */
const codes = ['417', '802', '638', '295', '213'];

const named = (method: Parameters<typeof aPlan>[0], answer: string | null, samples: number) => {
  const { place, code } = namedIn(methodOf(aPlan(method)).form, answer, codes.slice(0, samples));
  return [place, code];
};

describe('one sample of several', () => {
  test.each([
    ['417', [1, -1]],
    ['802', [-1, 1]],
    ['none', [0, 0]],
  ])('preferred: %s', (answer, sides) => expect(named({}, answer, 2)).toEqual(sides));

  test.each([
    ['1', [1, 0]],
    ['2', [0, 1]],
    ['3', [-1, 0]],
  ])('the odd one, of 417, 802 and 638: place %s', (answer, [place]) =>
    expect(named({ method: 'triangle' }, answer, 3)[0]).toBe(place),
  );

  test('by code: highest against lowest, the one between on neither side', () => {
    expect(['1', '2', '3'].map((answer) => named({ method: 'triangle' }, answer, 3)[1])).toEqual([-1, 1, 0]);
  });

  test('in an ABX the third is none of the choices; in a duo-trio the first isn’t', () => {
    expect(named({ method: 'abx' }, '802', 3)).toEqual([-1, 1]);
    expect(named({ method: 'duo-trio' }, '2', 3)).toEqual([1, 1]);
    expect(named({ method: 'duo-trio' }, '3', 3)).toEqual([-1, -1]);
  });
});

describe('two of several', () => {
  test.each([
    ['1+2', 1],
    ['3+4', 1],
    ['1+3', 0],
    ['1+4', -1],
    ['2+3', -1],
  ])('two groups: %s puts the first with the second, or with the last', (answer, place) =>
    expect(named({ method: 'tetrad' }, answer, 4)).toEqual([place, 0]),
  );

  test.each([
    ['1+3', 1],
    ['3+5', -1],
    ['1+5', 0],
    ['2+3', 0],
  ])('two of five: %s', (answer, place) => expect(named({ method: 'two-out-of-five' }, answer, 5)[0]).toBe(place));
});

test('yes and no name no sample, nor does silence', () => {
  expect(named({ method: 'same-different' }, 'yes', 2)).toEqual([0, 0]);
  expect(named({}, null, 2)).toEqual([0, 0]);
});
