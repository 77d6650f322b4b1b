import { expect, test } from 'vitest';
import { interactionOf } from '../../protocols/interaction';

const rows = (audience: string, ...values: number[]) =>
  values.map((value, i) => ({ listener: `${audience}-${i}`, audience, value }));

test('two audiences with opposite tastes: every way to deal three and three listeners is counted', () => {
  // Of the 20 ways, the one seen and its mirror lie as far apart: means 0.8 and 0.2 of all 0.5, three listeners each.
  expect(interactionOf('share', [...rows('home', 0.7, 0.8, 0.9), ...rows('stage', 0.1, 0.2, 0.3)])).toEqual({
    of: 'share',
    statistic: expect.closeTo(6 * 0.3 ** 2, 12),
    p: 2 / 20,
    permutations: 20,
  });
});

test('audiences that answer alike', () => {
  expect(interactionOf('points', [...rows('home', 1, 3), ...rows('stage', 3, 1)])).toMatchObject({
    p: 1,
    statistic: 0,
  });
});

test('too many ways to count: 10,000 of them, always the same', () => {
  const many = (audience: string, from: number) =>
    rows(audience, ...Array.from({ length: 12 }, (_, i) => from + ((i * i) % 7)));
  const all = [...many('home', 0), ...many('stage', 1)];
  expect(interactionOf('correct', all)).toMatchObject({ permutations: 10_000 });
  expect(interactionOf('correct', [...all].reverse())).toEqual(interactionOf('correct', all));
});

test('fewer than two audiences with two listeners have no interaction; one who sits alone is left out', () => {
  expect(interactionOf('share', [])).toBeNull();
  expect(interactionOf('share', rows('home', 1, 2, 3))).toBeNull();
  expect(interactionOf('share', [...rows('home', 1, 2, 3), ...rows('stage', 5)])).toBeNull();
  const two = [...rows('home', 1, 2, 3), ...rows('stage', 5, 6)];
  expect(interactionOf('share', [...two, ...rows('club', 99)])).toEqual(interactionOf('share', two));
  expect(interactionOf('share', [...two, ...rows('club', 99, 98)])?.permutations).toBe(210);
});
