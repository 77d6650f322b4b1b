/** Sums, by Neumaier's compensation (1974, ZAMM 54:39–51), so that the order of listeners changes no digit that counts. */
export function sum(values: readonly number[]): number {
  let total = 0;
  let lost = 0;
  for (const value of values) {
    const next = total + value;
    lost += Math.abs(total) >= Math.abs(value) ? total - next + value : value - next + total;
    total = next;
  }
  return total + lost;
}

/** Σx². */
export const sumOfSquares = (values: readonly number[]): number => sum(values.map((value) => value ** 2));

export const mean = (values: readonly number[]): number => sum(values) / values.length;

/** Deviations from the mean. The mean of large figures is rounded; that of their deviations takes back what it lost. */
export function centred(values: readonly number[]): number[] {
  const centre = mean(values);
  const deviations = values.map((value) => value - centre);
  const rest = mean(deviations);
  return deviations.map((value) => value - rest);
}

/** Σ(x − mean)², computed around the mean: figures far from zero lose nothing. */
export function squaresAroundMean(values: readonly number[]): number {
  const centre = mean(values);
  return sumOfSquares(values.map((value) => value - centre));
}

/** Variance with n − 1. */
export const variance = (values: readonly number[]): number => squaresAroundMean(values) / (values.length - 1);

/**
 * True where a sum of squares is what rounding leaves of zero: figures as large as `largest` have no variation. Without
 * this test, differences like 0.3 − 0.2 and 0.2 − 0.1 have a spread of 1e-17 and give an enormous t.
 */
export const onlyRounding = (squares: number, n: number, largest: number): boolean =>
  squares <= n * (16 * Number.EPSILON * largest) ** 2;

/** The largest magnitude, 0 of nothing. */
export const largest = (values: readonly number[]): number =>
  values.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
