import { describe, expect, test } from 'vitest';
import type { UnitAnswer } from '../../protocols/unit-answers';
import { unitFigure } from '../../protocols/unit-figures';
import { unitsApart } from '../../protocols/units-apart';
import { unitsTogether } from '../../protocols/units-together';
import { normalVariate } from '../../protocols/virtual-listener';
import { seededRandom } from '../../stats/seeded-random';

/** Each listener hears the units in turn, as the draw deals them; one figure a sitting. */
function dealt({ listeners = 16, sittings = 2, units = [0, 0], levels = 1, seed = 1, prototype = 0, days = [0, 0] }) {
  const random = seededRandom(`units ${seed}`);
  return Array.from({ length: listeners }, (_, l) => {
    const level = levels * normalVariate(random);
    return Array.from({ length: sittings }, (_, s): UnitAnswer => {
      const unit = (l + s) % units.length;
      const value = (units[unit] ?? 0) + (days[s] ?? 0) + level + normalVariate(random);
      return { listener: `L${l}`, sitting: s + 1, prototype, unit, value };
    });
  }).flat();
}
const one = (listener: string, unit: number, value: number, sitting = 1, prototype = 0): UnitAnswer => ({
  ...{ listener, sitting, prototype, unit, value },
});

test('p is the share of all deals that set units as far apart: four listeners, counted by hand', () => {
  // Two of four get the first unit in 6 ways; in two of these all high figures are with one unit.
  const answers = [one('a', 0, 5), one('b', 0, 6), one('c', 1, 1), one('d', 1, 2)];
  const { p, permutations } = unitsApart(answers, 'x');
  expect(permutations).toBe(2000);
  expect(Math.abs((p ?? 0) - 2 / 6)).toBeLessThan(4 * Math.sqrt((1 / 3) * (2 / 3) * (1 / 2000)));
});

test('units of which one is rated higher are told apart, and how far they lie apart comes out', () => {
  const found = Array.from({ length: 20 }, (_, seed) => unitsApart(dealt({ units: [0, 1.5], seed }), 'x'));
  expect(found.filter(({ p }) => (p ?? 1) <= 0.05).length).toBeGreaterThanOrEqual(18);
  // Two units 1.5 apart have a variance of 1.5²/2 about their mean.
  const variance = found.reduce((sum, one) => sum + (one.variance ?? 0), 0) / 20;
  expect(variance).toBeGreaterThan(0.75);
  expect(variance).toBeLessThan(1.45);
});

test('what listeners and days do is not taken for units: false alarms stay at their level', () => {
  const runs = 60;
  for (const sittings of [1, 2]) {
    const found = Array.from({ length: runs }, (_, seed) =>
      unitsApart(dealt({ listeners: 9, sittings, levels: 2, days: [0, 3], seed }), `n${seed}`),
    );
    const alarms = found.filter(({ p }) => (p ?? 1) <= 0.05).length;
    // 5 % of 60 is 3; 10 would come once in 1,000 times.
    expect(alarms).toBeLessThan(10);
  }
});

test('names and order of arrival move no digit', () => {
  const answers = dealt({ units: [0, 0.5, 1] });
  const other = answers.toReversed().map((answer) => ({ ...answer, listener: `Z${answer.listener}` }));
  expect(unitsApart(other, 'x')).toEqual(unitsApart(answers, 'x'));
});

describe('where nothing can be told', () => {
  test.each([
    ['two listeners', [one('a', 0, 5), one('b', 1, 6)]],
    ['everybody heard the same', [one('a', 0, 5), one('b', 0, 6), one('c', 0, 1)]],
    ['everybody says the same', [one('a', 0, 5), one('b', 1, 5), one('c', 0, 5)]],
    ['nobody came to the same sittings', [one('a', 0, 5, 1), one('b', 1, 6, 2), one('c', 0, 6, 3)]],
  ])('%s', (_, answers) => {
    expect(unitsApart(answers, 'x')).toMatchObject({ p: null, variance: null });
  });
});

test('a figure is the mean of listeners’ own means, whatever the number of their answers', () => {
  const answers = [one('a', 0, 1), one('a', 0, 3), one('b', 0, 6), one('c', 0, 4)];
  const found = unitFigure(answers, 'mean', 0.95);
  // 2, 6, 4: mean 4, standard error 2/√3, t(2) 4.302653 (Fisher & Yates 1963, table III, from memory).
  expect(found).toMatchObject({ value: 4, listeners: 3, answers: 4 });
  expect(found?.lower).toBeCloseTo(4 - 4.302653 * (2 / Math.sqrt(3)), 5);
  expect(unitFigure([one('a', 0, 1)], 'mean', 0.95)).toMatchObject({ value: 1, lower: null, upper: null });
  expect(unitFigure([], 'share', 0.95)).toBeNull();
  const share = unitFigure([one('a', 0, 1), one('b', 0, 0)], 'share', 0.95);
  expect(share?.value).toBe(0.5);
  expect(share?.lower).toBeGreaterThan(0);
});

test('units that always met are named together; one that met several is not', () => {
  const first = dealt({ units: [0, 0] });
  expect(unitsTogether([...first, ...dealt({ units: [0, 0], prototype: 1 })])).toEqual([
    [0, 1].map((prototype) => ({ prototype, unit: 0 })),
    [0, 1].map((prototype) => ({ prototype, unit: 1 })),
  ]);
  expect(unitsTogether([...first, ...dealt({ units: [0, 0, 0], prototype: 1 })])).toEqual([]);
  expect(unitsTogether([...first, ...dealt({ units: [0], prototype: 1 })])).toEqual([]);
});
