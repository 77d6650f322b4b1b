/**
 * P(T ≥ t) of Student's t by its definition: with T = √ν·tan θ the density is cosᵛ⁻¹θ, added up by Simpson's rule.
 * Nothing in common with the package that stats/ uses; good to 1e-10 absolute.
 */
export function studentTail(t: number, degreesOfFreedom: number): number {
  const from = Math.atan(t / Math.sqrt(degreesOfFreedom));
  const area = (low: number) => {
    const intervals = 4000;
    const step = (Math.PI / 2 - low) / intervals;
    let total = 0;
    for (let i = 0; i <= intervals; i++) {
      const weight = i === 0 || i === intervals ? 1 : i % 2 === 1 ? 4 : 2;
      total += weight * Math.max(0, Math.cos(low + i * step)) ** (degreesOfFreedom - 1);
    }
    return (total * step) / 3;
  };
  return area(from) / area(-Math.PI / 2);
}
