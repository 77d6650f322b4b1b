import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { measuredAccuracy } from './accuracy';

const guide = readFileSync(new URL('../../DEVELOPERS.md', import.meta.url), 'utf8');

/** The row of a distribution in the guide's table: lower tail, upper tail, quantile. */
function stated(name: string): (number | null)[] {
  const row = guide.split('\n').find((line) => line.startsWith(`| ${name} |`)) ?? '';
  const cells = row.split('|').map((cell) => cell.trim());
  return cells.slice(3, 6).map((cell) => (cell === '–' ? null : Number(cell)));
}

test.each(measuredAccuracy())('$name is as exact as the guide says', ({ name, points, lower, upper, quantile }) => {
  const [statedLower = null, statedUpper = null, statedQuantile = null] = stated(name);
  expect(points).toBeGreaterThanOrEqual(100);
  expect(lower).toBeLessThanOrEqual(statedLower ?? Number.NaN);
  expect(upper).toBeLessThanOrEqual(statedUpper ?? Number.NaN);
  if (quantile !== null) expect(quantile).toBeLessThanOrEqual(statedQuantile ?? Number.NaN);
  expect([statedLower, statedUpper, statedQuantile].every((error) => error === null || error <= 1e-10)).toBe(true);
});
