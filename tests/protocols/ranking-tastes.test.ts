import { expect, test } from 'vitest';
import type { Truth } from '../../protocols/protocol';
import { drawnOrder, drawnWorths, tasteSd } from '../../protocols/ranking-tastes';
import type { PrototypeId } from '../../shared/brands';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';

const plan = aPlan({ method: 'ranking', prototypes: 3 });
const [a, b, c] = ['proto-a', 'proto-b', 'proto-c'] as PrototypeId[] as [PrototypeId, PrototypeId, PrototypeId];

/** How often each order comes, of one listener without a taste of his or her own. */
function orders(truth: Truth, presentations: PrototypeId[], many = 20_000): Map<string, number> {
  const random = seededRandom(1);
  const worths = drawnWorths(truth, plan, random);
  const counts = new Map<string, number>();
  for (let i = 0; i < many; i++) {
    const order = drawnOrder(truth, worths, presentations, random).join('');
    counts.set(order, (counts.get(order) ?? 0) + 1 / many);
  }
  return counts;
}
const near = (got: number | undefined, expected: number) => expect(Math.abs((got ?? 0) - expected)).toBeLessThan(0.015);

test('orders come as Plackett and Luce have it, worked out here', () => {
  const got = orders({ worth: { [a]: Math.log(4), [b]: Math.log(2) } }, [a, b, c]);
  // Strengths 4, 2, 1: a first in 4/7, then b in 2/3; and so on.
  near(got.get('012'), (4 / 7) * (2 / 3));
  near(got.get('021'), (4 / 7) * (1 / 3));
  near(got.get('102'), (2 / 7) * (4 / 5));
  near(got.get('210'), (1 / 7) * (2 / 6));
  expect(got.size).toBe(6);
});

test('the first sample that was heard is pulled ahead', () => {
  const got = orders({ positionBias: Math.log(3) }, [c, a, b]);
  near((got.get('012') ?? 0) + (got.get('021') ?? 0), 3 / 5);
});

test('γ spreads shares of a pair over listeners as a beta does, and leaves their mean', () => {
  const random = seededRandom(2);
  for (const [gamma, worth] of [
    [0.2, 0],
    [0.5, 0],
    [0.3, Math.log(3)],
  ] as const) {
    const shares = Array.from({ length: 6000 }, () => {
      const own = drawnWorths({ gamma, worth: { [a]: worth } }, plan, random).worth;
      return 1 / (1 + Math.exp((own[b] as number) - (own[a] as number)));
    });
    const mean = shares.reduce((sum, one) => sum + one, 0) / shares.length;
    const expected = 1 / (1 + Math.exp(-worth));
    expect(Math.abs(mean - expected)).toBeLessThan(0.015);
    const variance = shares.reduce((sum, one) => sum + (one - mean) ** 2, 0) / shares.length;
    // A beta of that mean and γ has variance γ·mean(1 − mean); away from one half it is only nearly met.
    expect(Math.abs(variance / (expected * (1 - expected)) - gamma)).toBeLessThan(worth === 0 ? 0.02 : 0.06);
  }
  expect(tasteSd(0)).toBe(0);
});
