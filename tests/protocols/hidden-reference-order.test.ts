import { expect, test } from 'vitest';
import { nextAgainstReference } from '../../protocols/hidden-reference-order';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { designsOf, quickRandomness } from './whole-study';

const home = 'home' as AudienceId;
const planOf = (prototypes: number, rounds: number, listeners = 8) =>
  aPlan({ method: 'small-impairments', prototypes, rounds, audiences: [['home', listeners]] });
const scored = (prototypes: number, rounds: number, ordinal: number, seed = 'one'): TrialDesign[] =>
  designsOf(planOf(prototypes, rounds), { audience: home, ordinal, sitting: 1 }, quickRandomness(seed)).slice(1);
const letters = ({ presentations }: TrialDesign) => presentations.map((id) => id.slice(-1)).join('');

test.each([
  [2, 1],
  [2, 4],
  [3, 1],
  [3, 2],
  [4, 3],
  [5, 5],
])('%i prototypes, %i rounds: the reference openly, and hidden first in half of the trials', (n, rounds) => {
  for (let ordinal = 1; ordinal <= 6; ordinal++) {
    const trials = scored(n, rounds, ordinal);
    expect(trials).toHaveLength(rounds * (n - 1));
    const first = trials.filter((one) => letters(one)[1] === 'a').length;
    expect(Math.abs(2 * first - trials.length)).toBeLessThanOrEqual(1);
    for (const trial of trials) expect([...letters(trial)].filter((one) => one === 'a')).toHaveLength(2);
    for (let round = 0; round < rounds; round++) {
      const own = trials.filter((one) => one.round === round).map((one) => letters(one).replaceAll('a', ''));
      expect(own.sort()).toEqual([...'bcdefgh'].slice(0, n - 1));
    }
    // Over an even number of rounds in half of the trials with each sample.
    if (rounds % 2 === 1) continue;
    for (const other of [...'bcd'].slice(0, n - 1)) {
      const own = trials.map(letters).filter((all) => all.includes(other));
      expect(own.filter((all) => all[1] === 'a')).toHaveLength(own.length / 2);
    }
  }
});

test('which order comes, and which sample, is another for each listener', () => {
  const all = Array.from({ length: 8 }, (_, i) =>
    scored(3, 1, i + 1)
      .map(letters)
      .join(),
  );
  expect(new Set(all).size).toBeGreaterThan(3);
});

test('a spoilt trial comes again with the same sample and excerpt, in an order that is drawn anew', () => {
  const plan = planOf(2, 2);
  const orders = new Set<string>();
  for (let seed = 0; seed < 12; seed++) {
    const seat = { audience: home, ordinal: 1, sitting: 1 };
    const history: TrialPast[] = designsOf(plan, seat, quickRandomness(`${seed}`)).map((design) => ({
      design,
      state: design.ordinal === 1 ? 'void' : 'answered',
    }));
    const of = { reference: 'proto-a', rounds: 2 };
    const again = nextAgainstReference(of, plan, seat, history, quickRandomness(`${seed}`)) as TrialDesign;
    expect(again).toMatchObject({ replaces: 1, round: 0, ordinal: 3 });
    orders.add(`${letters(history[1]?.design as TrialDesign)} ${letters(again)}`);
  }
  expect(orders.size).toBe(4);
});

/**
 * Balanced over the panel, the count would always be half: then of two halves with opposed habits (the one grades what
 * comes first lower, the other what comes second) all are right at once or all wrong.
 */
test('over a panel the reference comes first as often as coins fall, and not in just one half', () => {
  const listeners = 12;
  const panels = 200;
  const plan = planOf(2, 1, listeners);
  const counts = Array.from({ length: panels }, (_, panel) => {
    const randomness = quickRandomness(`panel ${panel}`);
    return Array.from({ length: listeners }, (_, i) => {
      const seat = { audience: home, ordinal: i + 1, sitting: 1 };
      const [trial] = designsOf(plan, seat, randomness).slice(1);
      return letters(trial as TrialDesign)[1] === 'a' ? 1 : 0;
    }).reduce<number>((sum, one) => sum + one, 0);
  });
  const mean = counts.reduce((sum, one) => sum + one, 0) / panels;
  const variance = counts.reduce((sum, one) => sum + (one - mean) ** 2, 0) / panels;
  // Binomial: 6 and 3; four standard errors and more to either side.
  expect(Math.abs(mean - 6)).toBeLessThan(0.5);
  expect(Math.abs(variance - 3)).toBeLessThan(1.2);
});
