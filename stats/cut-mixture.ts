import { logBetaTail, logPowerTerm } from './incomplete-beta';

/**
 * The evidence of answers against p0 where the beta(a, b) prior is cut to the shares above p0: ln of
 * ∫ LR(p) over the cut prior, from the same over the whole of it. Returns a function of the right and wrong answers so far
 * and the log evidence `whole` of the uncut mixture. For trusted callers: 0 < p0 < 1, q0 = 1 − p0, a and b above 0.
 *
 * The likelihood ratio takes the powers of p0 and 1 − p0 out of the incomplete beta function, so nothing under- or
 * overflows where all the evidence lies on the other side.
 *
 * Accuracy: 1e-12 relative to the larger of 1 and the figure.
 */
export function cutMixture(p0: number, q0: number, a: number, b: number) {
  const scale = logPowerTerm(p0, q0, a, b);
  const above = (right: number, wrong: number, whole: number): number => {
    const ones = a + right;
    const zeros = b + wrong;
    // The integral from p0 to 1 converges fast where p0 is above the middle, else the one from 0 to p0 does.
    if (q0 * (ones + zeros + 2) > zeros + 1) {
      const below = Math.exp(scale + logBetaTail(p0, ones, zeros) - whole);
      // Where hardly anything is left above, a difference would have lost its digits; near 0 the other integral is slow,
      // and enough is left.
      if (below < 0.9 || p0 < 1e-4) return whole + Math.log1p(-below);
    }
    return scale + logBetaTail(q0, zeros, ones);
  };
  const start = above(0, 0, 0);
  return (right: number, wrong: number, whole: number): number => above(right, wrong, whole) - start;
}
