/** Points in −1 … 1 and their weights: Σ weight·f(point) integrates polynomials up to degree 2n − 1 without error. */
export interface Quadrature {
  points: Float64Array;
  weights: Float64Array;
}

/**
 * The rule of Gauss and Legendre with n points: the roots of the Legendre polynomial, by Newton's rule from a near guess
 * (Abramowitz & Stegun 1964, 25.4.29 and 22.16.6).
 */
export function gaussLegendre(n: number): Quadrature {
  const points = new Float64Array(n);
  const weights = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let x = Math.cos((Math.PI * (i + 0.75)) / (n + 0.5));
    let slope = 1;
    for (let round = 0; round < 20; round++) {
      let value = x;
      let before = 1;
      for (let k = 2; k <= n; k++) [value, before] = [((2 * k - 1) * x * value - (k - 1) * before) / k, value];
      slope = (n * (x * value - before)) / (x * x - 1);
      const step = value / slope;
      x -= step;
      if (Math.abs(step) < 1e-16) break;
    }
    points[i] = x;
    weights[i] = 2 / ((1 - x * x) * slope * slope);
  }
  return { points, weights };
}
