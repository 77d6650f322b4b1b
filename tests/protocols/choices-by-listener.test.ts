import { expect, test } from 'vitest';
import { choicesByListener } from '../../protocols/choices-by-listener';
import type { Outcome } from '../../protocols/protocol';
import { aPlan } from '../blinding/a-plan';
import { said } from './simulated-study';

const plan = aPlan({ prototypes: 3, noPreference: { offered: true, rule: 'drop' } });

test('places, no preference, and pairs that came again, by hand', () => {
  const [one] = choicesByListener(said('L1', 'ab+ ba+ ab+ ac+ ca0 ac+ bc-'), plan);
  expect(one).toMatchObject({ listener: 'L1', trials: 7, none: 1 });
  // a b: for a, for b, for a; a c: for a, neither, for a.
  expect([one?.cameAgain, one?.alikeAgain]).toEqual([3, 1]);
  expect((one?.first ?? 0) + (one?.second ?? 0)).toBe(6);
});

test('nothing says whether a choice is that of the others', () => {
  const lines = ['ab+ ac+ bc+', 'ab+ ac+ bc+', 'ab- ac- bc-'];
  const outcomes = lines.flatMap((line, i): Outcome[] => said(`L${i + 1}`, line));
  const [, like, unlike] = choicesByListener(outcomes, plan);
  const { listener: _, first: __, second: ___, ...rest } = unlike ?? {};
  expect(like).toMatchObject(rest);
});
