import { expect, test } from 'vitest';
import { gammaVariate, normalVariate, ownShare } from '../../protocols/virtual-listener';
import { seededRandom } from '../../stats/seeded-random';

const many = 20_000;
function moments(draw: () => number): { mean: number; variance: number } {
  const values = Array.from({ length: many }, draw);
  const mean = values.reduce((sum, value) => sum + value, 0) / many;
  return { mean, variance: values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (many - 1) };
}

test('normal variates: mean 0, variance 1', () => {
  const random = seededRandom(1);
  const { mean, variance } = moments(() => normalVariate(random));
  expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(many));
  expect(Math.abs(variance - 1)).toBeLessThan(4 * Math.sqrt(2 / many));
});

test.each([0.3, 1, 4])('gamma variates of shape %d: mean and variance are the shape', (shape) => {
  const random = seededRandom(`gamma ${shape}`);
  const { mean, variance } = moments(() => gammaVariate(shape, random));
  expect(Math.abs(mean - shape)).toBeLessThan(4 * Math.sqrt(shape / many));
  // The fourth central moment of a gamma is 3·k² + 6·k, so the variance of the variance is (2·k² + 6·k)/n.
  expect(Math.abs(variance - shape)).toBeLessThan(4 * Math.sqrt((2 * shape ** 2 + 6 * shape) / many));
});

test.each([
  [0.5, 0.5],
  [0.8, 0.3],
])('own shares with mean %d and overdispersion %d: beta, variance γ·mean·(1 − mean)', (mean, gamma) => {
  const random = seededRandom(`share ${mean}`);
  const got = moments(() => ownShare(mean, gamma, random));
  const variance = gamma * mean * (1 - mean);
  expect(Math.abs(got.mean - mean)).toBeLessThan(4 * Math.sqrt(variance / many));
  expect(Math.abs(got.variance - variance)).toBeLessThan(0.005);
});

test('no spread: everybody at the mean', () => {
  expect(ownShare(0.7, 0, seededRandom(1))).toBe(0.7);
});
