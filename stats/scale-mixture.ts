/**
 * The mean of g(S) where S = √(χ²/ν), the estimate of a standard deviation of 1 from ν degrees of freedom: what makes a
 * normal law into Student's. In u = log s the density, ∝ exp(ν(u − e²ᵘ/2)), and every g asked for here are smooth and fall
 * off quickly, so the plain trapezium rule converges like e^(−1/step) (Trefethen & Weideman 2014, SIAM Review
 * 56:385–458): 14 digits, also where the result is 1e-200, since all terms are positive.
 *
 * @param g positive, for s > 0
 * @param near where g(s) times the density is about largest
 * @param slope the steepest change of g's argument with s, so that the step is fine enough
 */
export function scaleMixture(g: (s: number) => number, degreesOfFreedom: number, near: number, slope: number): number {
  const curvature = 2 * degreesOfFreedom * Math.max(1, near * near) + 2 * (slope * near) ** 2;
  const step = Math.min(0.12, 0.4 / Math.sqrt(curvature));
  const density = (u: number) => Math.exp(degreesOfFreedom * (u - Math.expm1(2 * u) / 2));
  const all = trapezium(density, 0, step);
  // Far from 1 the density itself may vanish in doubles: its value at the start is taken out and put back at the end.
  const start = Math.log(near);
  const level = degreesOfFreedom * (start - Math.expm1(2 * start) / 2);
  const part = trapezium(
    (u) => Math.exp(degreesOfFreedom * (u - Math.expm1(2 * u) / 2) - level) * g(Math.exp(u)),
    start,
    step,
  );
  return part > 0 ? (part / all) * Math.exp(level) : 0;
}

/** Σ f(from + i·step) over all whole i, outwards from `from` until what follows no longer counts. */
export function trapezium(f: (x: number) => number, from: number, step: number): number {
  let total = f(from);
  for (const direction of [1, -1]) {
    let before = total;
    for (let i = 1; i < 1_000_000; i++) {
      const term = f(from + direction * i * step);
      total += term;
      if (term <= 1e-19 * total && term <= before) break;
      before = term;
    }
  }
  return total;
}
