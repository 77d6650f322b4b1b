import { expect, test } from 'vitest';
import { dealtSeat } from '../../protocols/dealt-seat';
import type { AudienceId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { quickRandomness, wholeStudy } from './whole-study';

const plan = aPlan({ audiences: [['home', 12]] });
const dealt = (ordinal: number, seed = 'one', sitting = 1): number =>
  dealtSeat(plan, { audience: 'home' as AudienceId, ordinal, sitting }, quickRandomness(seed)).ordinal;
const all = (from: number, seed?: string, sitting?: number) =>
  Array.from({ length: 12 }, (_, i) => dealt(from + i, seed, sitting));
const places = Array.from({ length: 12 }, (_, i) => i + 1);

test('each planned place is dealt to one listener, in another order with each sitting and study; walk-ins have a list of their own', () => {
  expect(all(1).toSorted((a, b) => a - b)).toEqual(places);
  expect(all(1)).not.toEqual(places);
  expect(all(1, 'one', 2)).not.toEqual(all(1));
  expect(all(1, 'two')).not.toEqual(all(1));
  expect(all(13).toSorted((a, b) => a - b)).toEqual(places.map((place) => place + 12));
});

test('who sits after whom tells nothing: listeners who mirror each other, one after the other, agree on no order', () => {
  const ranking = aPlan({
    method: 'ranking',
    prototypes: 3,
    spec: { size: 3, rankings: 1, predicted: false },
    audiences: [['home', 12]],
  });
  let alike = 0;
  for (let study = 0; study < 200; study++) {
    const outcomes = wholeStudy(ranking, [{}], `mirrored ${study}`);
    // What the first and every second one after puts on top is what came first; the others put the last on top.
    const tops = outcomes.flatMap(({ listener, place, prototypes }) => {
      const first = Number(listener.split('-')[1]) % 2 === 1;
      return place === (first ? 0 : 2) ? [prototypes[place]] : [];
    });
    expect(tops).toHaveLength(12);
    const most = Math.max(...ranking.prototypes.map(({ id }) => tops.filter((one) => one === id).length));
    if (most >= 8) alike++;
  }
  // P(at least 8 of 12 on one of three) = 0.056 for independent tops: 3 · P(X ≥ 8), X binomial (12, 1/3).
  expect(alike / 200).toBeLessThan(0.12);
});
