/** What the letter counts and tests, the same in sentences, figures and tables. */

export const pWords = (p: number | null): string => (p === null ? '–' : p < 0.001 ? '< 0.001' : p.toFixed(3));

export const listeners = (count: number): string => (count === 1 ? '1 listener' : `${count} listeners`);

/** A count that may be a half: guessing gives 36, or 36.5. */
export const about = (count: number): string => String(Number(count.toFixed(1)));
