/** Numbers as the letter prints them, the same in sentences, figures and tables. */

/** With a minus that is as wide as a plus. */
export const minus = (text: string): string => text.replace(/^-(0(\.0+)?)$/, '$1').replace('-', '\u2212');

/** A score, a mean, a slope: two decimals. */
export const decimals = (value: number, digits = 2): string => minus(value.toFixed(digits));

export const pWords = (p: number | null): string => (p === null ? '–' : p < 0.001 ? '< 0.001' : p.toFixed(3));

export const listeners = (count: number): string => (count === 1 ? '1 listener' : `${count} listeners`);

/** A count that may be a half: guessing gives 36, or 36.5. */
export const about = (count: number): string => String(Number(count.toFixed(1)));

/**
 * Points of a scale with one decimal, or with as many more as keep them on their own side of every mark: 0.96 that is
 * said to be 1.0 would seem to reach the smallest difference worth finding.
 */
export function pointsBeside(value: number, marks: readonly number[]): string {
  const side = (one: number, mark: number) => (Math.abs(one - mark) < 1e-9 ? 0 : Math.sign(one - mark));
  for (let digits = 1; digits < 4; digits++) {
    const rounded = Number(value.toFixed(digits));
    if (marks.every((mark) => side(rounded, mark) === side(value, mark))) return decimals(value, digits);
  }
  return decimals(value, 4);
}
