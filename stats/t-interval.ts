import { tQuantile } from './distributions';

/** estimate ± t·standardError, two-sided at `level`, from the lower tail, where no digit of 1 − level is lost. */
export function tInterval(
  estimate: number,
  standardError: number,
  degreesOfFreedom: number,
  level: number,
): { lower: number; upper: number } {
  const reach = -tQuantile((1 - level) / 2, degreesOfFreedom) * standardError;
  return { lower: estimate - reach, upper: estimate + reach };
}
