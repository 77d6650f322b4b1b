import { expect, test } from 'vitest';
import { minimise, type Smooth } from '../../../stats/mixed/minimise';

const smooth = (f: (x: number[]) => { value: number; gradient: number[] }): Smooth => {
  let gradient: number[] = [];
  return {
    at: (point) => {
      const found = f([...point]);
      gradient = found.gradient;
      return found.value;
    },
    gradient: () => Float64Array.from(gradient),
  };
};

test('goes down the bent valley of Rosenbrock (1960), The Computer Journal 3:175–184, to its floor at (1, 1)', () => {
  const valley = smooth(([x = 0, y = 0]) => ({
    value: 100 * (y - x * x) ** 2 + (1 - x) ** 2,
    gradient: [-400 * x * (y - x * x) - 2 * (1 - x), 200 * (y - x * x)],
  }));
  const { point, value } = minimise(valley, Float64Array.of(-1.2, 1), 1e-20);
  expect(Math.abs((point[0] ?? 0) - 1)).toBeLessThan(1e-8);
  expect(Math.abs((point[1] ?? 0) - 1)).toBeLessThan(1e-8);
  expect(value).toBeLessThan(1e-15);
});

test('a bowl whose directions differ a million times in steepness', () => {
  const bowl = smooth(([x = 0, y = 0]) => ({
    value: 1e6 * (x - 3) ** 2 + (y + 2) ** 2,
    gradient: [2e6 * (x - 3), 2 * (y + 2)],
  }));
  const { point } = minimise(bowl, Float64Array.of(0, 0), 1e-18);
  expect(Math.abs((point[0] ?? 0) - 3)).toBeLessThan(1e-8);
  expect(Math.abs((point[1] ?? 0) + 2)).toBeLessThan(1e-8);
});

test('a step into where there is no value is taken back', () => {
  const walled = smooth(([x = 0]) => ({
    value: x < 0 ? Number.POSITIVE_INFINITY : x - Math.log(x),
    gradient: [1 - 1 / x],
  }));
  expect(Math.abs((minimise(walled, Float64Array.of(40), 1e-20).point[0] ?? 0) - 1)).toBeLessThan(1e-8);
});

test('nothing to move: the start is the minimum', () => {
  const none = smooth(() => ({ value: 7, gradient: [] }));
  expect(minimise(none, new Float64Array(0), 1e-9)).toMatchObject({ value: 7 });
});
