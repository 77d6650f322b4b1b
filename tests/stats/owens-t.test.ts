import fc from 'fast-check';
import { expect, test } from 'vitest';
import { normalCdf, normalUpper } from '../../stats/distributions';
import { gaussLegendre } from '../../stats/gauss-legendre';
import { owensT, owensTLost } from '../../stats/owens-t';
import { expectClose } from './support';

const tight = { relative: 1e-13, absolute: 0 };

test('the points integrate polynomials', () => {
  for (const n of [2, 5, 32]) {
    const { points, weights } = gaussLegendre(n);
    for (let degree = 0; degree < 2 * n; degree++) {
      const sum = points.reduce((total, x, i) => total + (weights[i] as number) * x ** degree, 0);
      expectClose(
        sum,
        degree % 2 === 0 ? 2 / (degree + 1) : 0,
        { relative: 1e-13, absolute: 1e-14 },
        `${n}, ${degree}`,
      );
    }
  }
});

// Owen (1956), section 2.
test('at zero it is an angle, at slope 1 a product of normal tails', () => {
  for (const slope of [0.1, 1 / Math.sqrt(3), 1, Math.sqrt(3)]) {
    expectClose(owensT(0, slope), Math.atan(slope) / (2 * Math.PI), tight, `angle ${slope}`);
    expect(owensTLost(0, slope)).toBe(0);
  }
  for (const h of [0.01, 0.5, 1, 2, 5, 9, 20, 30]) {
    expectClose(owensT(h, 1), (normalCdf(h) * normalUpper(h)) / 2, { relative: 1e-12, absolute: 0 }, `h ${h}`);
  }
});

test('what is lost and what is left add up', () => {
  fc.assert(
    fc.property(
      fc.double({ min: 0, max: 5, noNaN: true }),
      fc.double({ min: 0.01, max: 1.8, noNaN: true }),
      (h, slope) => {
        expectClose(owensT(h, slope) + owensTLost(h, slope), owensT(0, slope), tight, `${h}, ${slope}`);
      },
    ),
    { seed: 5, numRuns: 200 },
  );
});

// T(h, a) + T(ah, 1/a) = ½Φ(h) + ½Φ(ah) − Φ(h)Φ(ah), Owen (1956), section 2.
test('the two slopes of one angle', () => {
  for (const a of [Math.sqrt(3), 1.2]) {
    for (const h of [0.1, 0.7, 1.5, 3]) {
      const both = (normalCdf(h) + normalCdf(a * h)) / 2 - normalCdf(h) * normalCdf(a * h);
      expectClose(owensT(h, a) + owensT(a * h, 1 / a), both, { relative: 1e-12, absolute: 1e-15 }, `${a}, ${h}`);
    }
  }
});
