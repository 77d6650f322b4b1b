import { expect, test } from 'vitest';
import { rightsFinds, rightsFound, rightsSizes } from '../../protocols/rights-power';
import { aPlan } from '../blinding/a-plan';
import { type ReferenceCase, references } from '../stats/support';

/**
 * The tables of the standards, cell by cell, by the code that the plan page and the letter go by. Where each was read, or
 * that it is from memory, stands beside it in tests/references: ISO 4120:2004 Tables A.1 and A.3 (triangle; the tetrad has
 * the same chance), ISO 10399:2004 Tables A.1 and A.3 (duo-trio), which ISO 5495:2005 has for one-sided pairs, too.
 */

type Critical = ReferenceCase<
  { trials: number[]; chance: number; alpha: number[]; alternative: 'greater' | 'two-sided' },
  { count: (number | null)[][] }
>;
const oneSided = references<Critical[]>('critical-count').filter(({ inputs }) => inputs.alternative === 'greater');

test.each(oneSided)('critical counts, $id: $source', ({ inputs: { trials, chance, alpha }, expected }) => {
  const got = trials.map((n) => alpha.map((at) => rightsFound(n, chance, at, 0.5).critical));
  expect(got).toEqual(expected.count);
});

test('critical counts of a whole plan: 36 listeners, one triangle each, and 32 with one duo-trio', () => {
  // ISO 4120:2004 Table A.1: 18 of 36 at 5 %; ISO 10399:2004 Table A.1: 22 of 32.
  for (const [method, listeners, chance, count] of [
    ['triangle', 36, 1 / 3, 18],
    ['duo-trio', 32, 1 / 2, 22],
  ] as const) {
    const plan = aPlan({ method, trials: 1, audiences: [['home', listeners]] });
    expect(rightsFinds(plan, chance).audiences).toMatchObject([{ trials: listeners, critical: count }]);
  }
});

type Sizes = ReferenceCase<
  { chance: number; pd: number; alpha: number[]; beta: number[]; alternative: string },
  { smallest: { trials: number[] } }
> & { published?: { first_n: (number | null)[] } };
const printed = references<Sizes[]>('sample-size').filter(({ published }) => published !== undefined);

test.each(printed)('numbers of assessors, $id: $source', ({ inputs: { chance, pd, alpha, beta }, published }) => {
  const cells = published?.first_n ?? [];
  expect(cells.length).toBe(25);
  for (const [cell, size] of cells.entries()) {
    // A cell that isn't remembered is left out.
    if (size === null) continue;
    const got = rightsSizes(chance, alpha[cell] as number, beta[cell] as number, pd);
    expect(got?.smallest, `α ${alpha[cell]} β ${beta[cell]}`).toBe(size);
    expect(got?.lasting).toBeGreaterThanOrEqual(size);
  }
});
