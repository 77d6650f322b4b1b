/** The part of jstat that this folder uses; the package ships no types. */
declare module 'jstat' {
  const jStat: {
    /** Regularised lower incomplete gamma function P(a, x). */
    lowRegGamma(a: number, x: number): number;
    /** log Γ(x), to ten digits. */
    gammaln(x: number): number;
  };
  export default jStat;
}
