import { expect, test } from 'vitest';
import { nextInBothOrders } from '../../protocols/both-orders';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import { quickRandomness } from './whole-study';

const seat = (ordinal: number) => ({ audience: 'home' as AudienceId, ordinal, sitting: 2 });
const samplesOf = (n: number) => [...'abcde'].slice(0, n).map((letter) => `proto-${letter}` as PrototypeId);
const letters = ({ presentations }: TrialDesign) => presentations.map((id) => id.slice(-1)).join('');

function sitting(n: number, rounds: number, ordinal: number): TrialDesign[] {
  const history: TrialPast[] = [];
  for (;;) {
    const next = nextInBothOrders(samplesOf(n), rounds, seat(ordinal), history, quickRandomness('one'));
    if (next === 'done') return history.slice(1).map(({ design }) => design);
    history.push({ design: next, state: 'answered' });
  }
}

test.each([
  [2, 1],
  [2, 4],
  [3, 2],
  [4, 1],
  [5, 2],
])('%i samples in %i rounds: every pair both ways round in each round, with its excerpt', (n, rounds) => {
  for (let ordinal = 1; ordinal <= 5; ordinal++) {
    const trials = sitting(n, rounds, ordinal);
    expect(trials).toHaveLength(rounds * n * (n - 1));
    for (let round = 0; round < rounds; round++) {
      // Rounds count over sittings, and this is the second.
      const own = trials.filter((one) => one.round === rounds + round).map(letters);
      expect(new Set(own).size).toBe(n * (n - 1));
    }
    if (n === 2) continue;
    const pairs = trials.map((one) => [...letters(one)].sort().join(''));
    for (let i = 1; i < pairs.length; i++) expect(pairs[i]).not.toBe(pairs[i - 1]);
  }
});

test('of one pair nobody knows which way round comes next', () => {
  const orders = Array.from({ length: 40 }, (_, i) =>
    sitting(2, 2, i + 1)
      .map(letters)
      .join(),
  );
  expect(new Set(orders).size).toBe(6);
});

test('a spoilt trial comes again the same way round, so that both ways are there; none follows itself if it needn’t', () => {
  const history: TrialPast[] = [];
  for (;;) {
    const next = nextInBothOrders(samplesOf(3), 1, seat(1), history, quickRandomness('one'));
    if (next === 'done') break;
    history.push({ design: next, state: 'answered' });
  }
  const [second, last] = [history[2], history.at(-1)] as [TrialPast, TrialPast];
  last.state = 'void';
  second.state = 'void';
  const next = nextInBothOrders(samplesOf(3), 1, seat(1), history, quickRandomness('one')) as TrialDesign;
  expect(letters(next)).toBe(letters(second.design));
  expect(next).toMatchObject({ replaces: 2, ordinal: 7, round: second.design.round });
});
