/**
 * Corrects a family of p values by Holm's procedure with weights: what matters most is given more of α, and the chance of
 * any false claim in the family stays at α.
 *
 * Sorted by p/weight, each is taken times the sum of the weights that are left over its own weight, and never below the
 * one before. With equal weights it is Holm's procedure as it is known.
 * @param family p and weight of each; weights over 0, in any unit
 * @returns corrected p in the order given, at most 1
 *
 * Source: Holm (1979), Scandinavian Journal of Statistics 6:65–70, section 4 (section from memory).
 */
export function weightedHolm(family: readonly { p: number; weight: number }[]): number[] {
  const order = family.map((_, i) => i).sort((a, b) => ratio(family[a]) - ratio(family[b]));
  let left = family.reduce((sum, { weight }) => sum + weight, 0);
  let least = 0;
  const corrected = new Array<number>(family.length).fill(1);
  for (const i of order) {
    least = Math.min(1, Math.max(least, ratio(family[i]) * left));
    corrected[i] = least;
    left -= family[i]?.weight ?? 0;
  }
  return corrected;
}

const ratio = (one: { p: number; weight: number } | undefined): number => (one ? one.p / one.weight : 1);
