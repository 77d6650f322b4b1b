import { expect, test } from 'vitest';
import { power } from '../../stats/power';
import { GrowingTest, powerCurve } from '../../stats/power-curve';
import { expectClose } from './support';

test('each point of a curve is the power asked for by itself', () => {
  for (const alternative of ['greater', 'less', 'two-sided'] as const) {
    for (const chance of [0.5, 1 / 3, 0.1]) {
      for (const proportion of [0, 0.45, 0.8, 1]) {
        const curve = powerCurve(5, 80, chance, 0.05, alternative, proportion);
        expect(curve).toHaveLength(76);
        curve.forEach((point, i) => {
          const single = power({ trials: i + 5, chance, proportion, alternative });
          const what = `${i + 5} at ${chance}, ${proportion}, ${alternative}`;
          expect(point.count, what).toBe(single.count);
          expectClose(point.power, single.power, { relative: 1e-12, absolute: 1e-14 }, what);
          expectClose(point.attainedAlpha, single.attainedAlpha, { relative: 1e-12, absolute: 0 }, what);
        });
      }
    }
  }
});

test('the reach of a side that is not tested is out of reach', () => {
  const test = new GrowingTest(0.5, 0.05, 'greater', 0.8);
  expect(test.reach('lower')).toBe(Number.POSITIVE_INFINITY);
  expect([test.trials, test.power, test.count]).toEqual([1, 0, null]);
});
