import { expect, test } from 'vitest';
import { reportStyle } from '../../server/review/report-style';

test('fonts are in it, and nothing is fetched from anywhere', async () => {
  const style = await reportStyle();
  const urls = [...style.matchAll(/url\((.{12})/g)].map(([, start]) => start);
  expect(urls).toEqual(['"data:font/w', '"data:font/w']);
  expect(/@import|https?:/.test(style)).toBe(false);
});
