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

describe('other ways of asking', () => {
  const sure = { listenersWhoHear: 1, heard: 1 };
  const [n, w] = ['Narrow', 'Wide'];
  test.each([
    ['triangle', { method: 'triangle' }, [n, w, n], '2'],
    ['duo-trio', { method: 'duo-trio' }, [w, n, w], '3'],
    ['2-AFC: the first of the plan has more', { method: '2-afc' }, [w, n], '2'],
    ['3-AFC', { method: '3-afc' }, [w, w, n], '3'],
    ['two out of five', { method: 'two-out-of-five' }, [n, w, n, w, n], '2+4'],
    ['same–different, the same', { method: 'same-different' }, [w, w], 'no'],
    ['same–different, different', { method: 'same-different' }, [w, n], 'yes'],
    ['A–not-A: what was learnt', { method: 'a-not-a' }, [n], 'yes'],
    ['A–not-A: another', { method: 'a-not-a' }, [w], 'no'],
    ['A–not-A: after learning', { method: 'a-not-a' }, [n, n, w], 'no'],
  ] as [string, PlanWish, string[], string][])('%s: whoever hears is right', (_what, wish, heard, answer) => {
    for (let i = 0; i < 5; i++) expect(ears(wish, sure, { seed: `${i}` }).say(heard, [], false)).toBe(answer);
  });

  test('tetrad: either group says both', () => {
    expect(['1+4', '2+3']).toContain(ears({ method: 'tetrad' }, sure).say([n, w, w, n], [], false));
  });

  test('ranking: by worth, in the codes of the page', () => {
    const fan = ears({ method: 'ranking', prototypes: 3 }, { worth: { Soft: 60, Narrow: 30, Wide: 0 } });
    expect(fan.say(['Wide', 'Narrow', 'Soft'], ['417', '502', '868'], false)).toBe('868>502>417');
  });

  test('right or wrong as often, in whatever order they come', () => {
    const rights = (heard: string[], odd: string) => {
      const own = ears({ method: 'triangle' }, { listenersWhoHear: 1, heard: 0.4 });
      return Array.from({ length: 40 }, () => own.say(heard, [], false) === odd);
    };
    const all = rights([n, n, w], '3');
    expect([rights([n, w, n], '2'), rights([w, n, n], '1')]).toEqual([all, all]);
    expect(new Set(all)).toEqual(new Set([true, false]));
  });

  test('two units of one prototype: nothing tells them, so that anything is answered', () => {
    const own = ears({ method: 'triangle' }, sure);
    expect(new Set(Array.from({ length: 60 }, () => own.say([n, n, n], [], false)))).toEqual(new Set(['1', '2', '3']));
  });

  test('whoever guesses gives any answer that the form takes', () => {
    const guessed = (wish: PlanWish, heard: string[], codes: string[]) => {
      const own = ears(wish, {}, { guesses: true });
      return new Set(Array.from({ length: 200 }, () => own.say(heard, codes, false)));
    };
    expect(guessed({ method: 'two-out-of-five' }, [n, w, n, w, n], []).size).toBe(10);
    expect(guessed({ method: 'a-not-a' }, [n], [])).toEqual(new Set(['yes', 'no']));
    expect(guessed({ method: 'ranking', prototypes: 3 }, [n, w, 'Soft'], ['417', '502', '868']).size).toBe(6);
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
