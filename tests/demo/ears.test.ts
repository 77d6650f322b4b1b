import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Truth } from '../../protocols/protocol';
import { byName } from '../../server/demo/by-name';
import { Ears } from '../../server/demo/ears';
import { type Scale, scaleValues } from '../../shared/scales';
import { aPlan, type PlanWish } from '../blinding/a-plan';

const names = ['Narrow', 'Wide', 'Soft'];
const ears = (wish: PlanWish, truth: Truth, { seed = 's', guesses = false } = {}) =>
  new Ears({ alias: 'Cleo', truth, guesses }, byName(aPlan({ names, ...wish })), seed);

describe('an answer hangs on what was heard and how often, and not on the draw', () => {
  const pairs = [
    ['Narrow', 'Wide'],
    ['Narrow', 'Soft'],
    ['Wide', 'Soft'],
  ] as const;
  const truth = { worth: { Narrow: 0.4, Wide: 0, Soft: -0.4 }, gamma: 0.3 };

  test('a pair, whichever comes first and whatever was asked before', () => {
    const orders = fc.shuffledSubarray([0, 1, 2, 0, 1, 2, 0, 1, 2], { minLength: 9, maxLength: 9 });
    fc.assert(
      fc.property(
        orders,
        fc.array(fc.boolean(), { minLength: 9, maxLength: 9 }),
        fc.string(),
        (order, turned, seed) => {
          const answersOf = (turn: boolean[], asked: number[]) => {
            const own = ears({ prototypes: 3 }, truth, { seed });
            const answers = asked.map((pair, i) => {
              const [a, b] = pairs[pair] as readonly [string, string];
              const heard = turn[i] ? [b, a] : [a, b];
              const place = own.pick(heard, false);
              return `${a} ${b}: ${place === null ? 'none' : heard[place]}`;
            });
            return answers.sort();
          };
          const straight = [0, 0, 0, 1, 1, 1, 2, 2, 2];
          expect(answersOf(turned, order)).toEqual(
            answersOf(
              straight.map(() => false),
              straight,
            ),
          );
        },
      ),
      { numRuns: 40 },
    );
  });

  test('ABX: right or wrong as often, whichever sample comes first and whichever is the third', () => {
    const rights = (first: boolean, third: number) => {
      const own = ears({ method: 'abx' }, { listenersWhoHear: 1, heard: 0.4 });
      const heard = first ? ['Narrow', 'Wide'] : ['Wide', 'Narrow'];
      return Array.from({ length: 60 }, () => own.pick([...heard, heard[third] as string], false) === third);
    };
    const all = rights(true, 0);
    expect([rights(true, 1), rights(false, 0), rights(false, 1)]).toEqual([all, all, all]);
    // 0.4 truly heard and half of the rest by luck: 42 of 60 on average.
    expect(all.filter(Boolean).length).toBeGreaterThan(30);
    expect(all.filter(Boolean).length).toBeLessThan(60);
  });

  test('a first impression, whatever was heard before it', () => {
    const truth = { ratings: { liking: { Narrow: 1, Wide: -1 } }, residualSd: 1 };
    const one = ears({ method: 'first-impressions' }, truth);
    const other = ears({ method: 'first-impressions' }, truth);
    other.rate('Wide', 1);
    const said = [one.rate('Narrow', 1), one.rate('Narrow', 1)];
    expect([other.rate('Narrow', 1), other.rate('Narrow', 1)]).toEqual(said);
    expect(said[0]).not.toEqual(said[1]);
  });
});

test('practice leaves what comes after as it was', () => {
  const [one, other] = [ears({}, { gamma: 0.3 }), ears({}, { gamma: 0.3 })];
  other.pick(['Narrow', 'Wide'], true);
  const picks = (own: Ears) => Array.from({ length: 20 }, () => own.pick(['Narrow', 'Wide'], false));
  expect(picks(other)).toEqual(picks(one));
  const rater = ears({ method: 'first-impressions' }, {});
  const [first, again] = [rater.rate(null, 1), rater.rate(null, 1)];
  expect(again).toEqual(first);
});

test('whoever hears what is plain is right, and whoever guesses is anything', () => {
  const sure = ears({ method: 'abx' }, { listenersWhoHear: 1, heard: 1 });
  for (let i = 0; i < 20; i++) expect(sure.pick(['Wide', 'Narrow', 'Narrow'], false)).toBe(1);
  const fan = ears({}, { worth: { Narrow: 30, Wide: 0 } });
  for (let i = 0; i < 20; i++) expect(fan.pick(['Wide', 'Narrow'], false)).toBe(1);
  const guesser = ears({}, { worth: { Narrow: 30, Wide: 0 } }, { guesses: true });
  const picks = Array.from({ length: 40 }, () => guesser.pick(['Wide', 'Narrow'], false));
  expect(new Set(picks)).toEqual(new Set([0, 1]));
});

test('every rating is a point of its scale, touched after the first sound', () => {
  const plan = byName(aPlan({ method: 'first-impressions', names, scales: ['liking', 'bass', 'stage-width'] }));
  const { scales } = plan.method.spec as { scales: Scale[] };
  for (const guesses of [false, true]) {
    const truth = { ratings: { liking: { Narrow: 3 } }, listenerSd: 2, residualSd: 2 };
    const own = new Ears({ alias: 'Dov', truth, guesses }, plan, 's');
    for (let i = 0; i < 30; i++) {
      const said = own.rate('Narrow', 1);
      expect(said.map(({ scale }) => scale)).toEqual(['liking', 'bass', 'stage-width']);
      for (const { scale, value, touchedMs } of said) {
        const found = scales.find(({ id }) => id === scale);
        expect(found && scaleValues(found)).toContain(value);
        expect(touchedMs).toBeGreaterThan(0);
      }
    }
  }
});

test('what a method doesn’t ask can’t be answered', () => {
  expect(() => ears({ method: 'first-impressions' }, {}).pick(['Narrow', 'Wide'], false)).toThrow('Nothing is picked');
  expect(() => ears({}, {}).rate('Narrow', 1)).toThrow('Nothing is rated');
});
