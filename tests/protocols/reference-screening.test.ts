import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import { screenedByAnchor } from '../../protocols/reference-screening';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { graded, gradedPanel } from './graded';

const plan = aPlan({
  method: 'reference-and-anchors',
  prototypes: 3,
  anchors: [7000, 3500],
  primary: [1, 2],
  trials: 20,
  screening: true,
  audiences: [['home', 6]],
});
const screened = (outcomes: Outcome[]) => screenedByAnchor(outcomes, plan, 'proto-a').dropped;

/** Twenty trials, in so many of which the reference, and the anchor of 7 kHz, get that grade; else they are as they should be. */
const items = (reference: [times: number, grade: number], anchor: [times: number, grade: number]): string =>
  Array.from({ length: 20 }, (_, i) => {
    const a = i < reference[0] ? reference[1] : 100;
    const m = 19 - i < anchor[0] ? anchor[1] : 60;
    return `b50 a${a} c50 m${m} n20`;
  }).join(' / ');

describe('whom the rule of BS.1534-3 leaves out (90, and 15 % of the items; from memory)', () => {
  test.each([
    ['the reference missed in 3 of 20', [3, 89], [0, 0], null],
    ['in 4 of 20', [4, 89], [0, 0], { misses: 4, of: 20 }],
    ['90 is no miss', [20, 90], [20, 90], null],
    ['the anchor over 90 in 3 of 20', [0, 0], [3, 91], null],
    ['in 4 of 20', [0, 0], [4, 91], { misses: 4, of: 20 }],
    ['3 of each, which are counted apart', [3, 0], [3, 100], null],
    ['both, the anchor oftener', [4, 0], [9, 100], { misses: 9, of: 20 }],
  ] as const)('%s', (_, reference, anchor, told) => {
    const dropped = screened(graded('heron', items([...reference], [...anchor]), { open: 'a' }));
    expect(dropped).toEqual(told === null ? [] : [{ listener: 'heron', ...told, p: null }]);
  });

  test('the low anchor counts for nothing, and without a mid anchor the reference alone', () => {
    const words = 'b50 a100 c50 m60 n100 / b50 a100 c50 m60 n100';
    expect(screened(graded('heron', words, { open: 'a' }))).toEqual([]);
    const without = { prototypes: plan.prototypes.filter(({ anchor }) => anchor?.lowPassHz !== 7000) };
    const taken = graded('heron', 'b50 a100 c50 m100 n20', { open: 'a' });
    expect(screenedByAnchor(taken, plan, 'proto-a').dropped).toHaveLength(1);
    expect(screenedByAnchor(taken, without, 'proto-a').dropped).toEqual([]);
  });

  test('items are those of all sittings', () => {
    const words = Array(10).fill('b50 a100 c50 m60 n20').join(' / ');
    const missed = Array(4).fill('b50 a10 c50 m60 n20').join(' / ');
    expect(screened(graded('heron', `${words} | ${missed}`, { open: 'a' }))).toMatchObject([{ misses: 4, of: 14 }]);
  });

  test('whatever else was graded, and however prototypes are called, the same are left out', () => {
    const random = seededRandom('screening');
    for (let round = 0; round < 20; round++) {
      const lines = Array.from({ length: 6 }, () => items([random.below(7), 80], [random.below(7), 95]));
      const outcomes = gradedPanel(lines, { open: 'a' });
      const dropped = screened(outcomes);
      const others = outcomes.map((one) => {
        const about = one.prototypes[one.place ?? 0];
        return about === 'proto-a' || about === 'anchor-7000' ? one : { ...one, value: random.below(101) };
      });
      expect(screened(others)).toEqual(dropped);
      const swapped = { 'proto-b': 'proto-c', 'proto-c': 'proto-b' } as Record<string, string>;
      const renamed = outcomes.map((one) => ({
        ...one,
        prototypes: one.prototypes.map((id) => swapped[id] ?? id) as Outcome['prototypes'],
      }));
      expect(screened(renamed)).toEqual(dropped);
    }
  });
});

describe('the verdict with a rule', () => {
  const study = (lines: string[], of = plan) => methodOf(of).protocol.analyse(gradedPanel(lines, { open: 'a' }), of);
  const good = ['a98 b70 c50 m60 n20', 'b66 a100 c40 m55 n10', 'c52 b75 a95 m70 n30', 'a92 c45 b60 m50 n20'];
  const bad = ['a40 b20 c90 m95 n90', 'b10 a30 c99 m80 n70'];

  test('rests on whom it keeps; with everybody stands beside, and so does whom it left out', () => {
    const [result] = study([...good, ...bad]).results;
    expect(result?.verdict).toBe('difference-shown');
    expect(result?.n.listeners).toBe(4);
    expect(result?.ratings?.screening).toMatchObject({
      rule: 'reference-and-anchor',
      kept: 4,
      dropped: [
        { listener: 'home-5', misses: 1, of: 1, p: null },
        { listener: 'home-6', misses: 1, of: 1, p: null },
      ],
      verdictOfAll: 'undecided',
    });
    // Over all six: 20, 26, 23, 15, −70 and −89.
    expect(result?.ratings?.screening?.all.byMeans.difference?.value).toBeCloseTo(-12.5, 12);
    expect(result?.warnings).toContain('screened-out:2:6');
  });

  test('without the rule nobody is left out', () => {
    const without = aPlan({ method: 'reference-and-anchors', prototypes: 3, anchors: [7000, 3500], primary: [1, 2] });
    const [result] = study([...good, ...bad], without).results;
    expect(result?.n.listeners).toBe(6);
    expect(result?.ratings?.screening).toBeUndefined();
  });

  test('anchors get means, and stand in no pair', () => {
    const [scale] = study(good).results[0]?.ratings?.scales ?? [];
    expect(scale?.means.map(({ prototype, value }) => [prototype, value])).toEqual([
      ['proto-a', 96.25],
      ['proto-b', 67.75],
      ['proto-c', 46.75],
      ['anchor-7000', 58.75],
      ['anchor-3500', 20],
    ]);
    expect(scale?.pairs.map(({ first, second }) => `${first} ${second}`)).toEqual([
      'proto-b proto-c',
      'proto-a proto-b',
      'proto-a proto-c',
    ]);
  });
});
