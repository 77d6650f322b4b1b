/** Numbers as people read them, the same on the plan page, in sentences, figures and tables. */

/** With a minus that is as wide as a plus. */
export const minus = (text: string): string => text.replace(/^-(0(\.0+)?)$/, '$1').replace('-', '\u2212');

/** A score, a mean, a slope: two decimals. */
export const decimals = (value: number, digits = 2): string => minus(value.toFixed(digits));

/** A share in per cent, kept together on one line. */
export const percent = (share: number): string => `${Math.round(share * 100)}\u00a0%`;

/** A share that somebody chose, such as a level or a smallest share worth finding: 99.9 % must not read as 100 %. */
export const chosenPercent = (share: number): string => `${Number((share * 100).toFixed(2))}\u00a0%`;

/** Beside a chance what is left of it: next to certainty stands little, and never nothing. */
export const missPercent = (miss: number): string => (miss < 0.005 ? 'under\u00a01\u00a0%' : chancePercent(miss));

/** A chance that was simulated: near certainty is never called certain, nor what may happen impossible. */
export const chancePercent = (chance: number): string =>
  chance >= 0.995 ? 'over\u00a099\u00a0%' : chance > 0 && chance < 0.005 ? 'under\u00a01\u00a0%' : percent(chance);

/**
 * With so few decimals as keep the value on its own side of every mark: a limit of 0.498 that is said to be 50 % would
 * seem to reach one half, and 0.96 points that are said to be 1.0 the smallest difference worth finding.
 */
function digitsBeside(value: number, marks: readonly number[], fewest: number): number {
  const side = (one: number, mark: number) => (Math.abs(one - mark) < 1e-9 ? 0 : Math.sign(one - mark));
  for (let digits = fewest; digits < fewest + 4; digits++) {
    const rounded = Number(value.toFixed(digits));
    if (marks.every((mark) => side(rounded, mark) === side(value, mark))) return digits;
  }
  return fewest + 4;
}

/** A share in per cent, with as many decimals as the marks ask for. */
export function percentBeside(share: number, marks: readonly number[]): string {
  const digits = digitsBeside(share, marks, 2);
  return `${Number((Number(share.toFixed(digits)) * 100).toFixed(digits - 2))}\u00a0%`;
}

/** Points of a scale, with one decimal or as many more as the marks ask for. */
export const pointsBeside = (value: number, marks: readonly number[]): string =>
  decimals(value, digitsBeside(value, marks, 1));
