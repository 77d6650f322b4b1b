/** The part of jstat that this folder uses; the package ships no types. */
declare module 'jstat' {
  const jStat: {
    gammaln(x: number): number;
    /** Regularised lower incomplete gamma function P(a, x). */
    lowRegGamma(a: number, x: number): number;
    chisquare: { inv(p: number, degreesOfFreedom: number): number };
  };
  export default jStat;
}
