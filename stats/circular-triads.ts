import { options } from './check';
import { chiSquareUpper } from './distributions';
import { StatsError } from './errors';
import { pairMatrix, requireMirrored } from './pair-matrix';

export interface CircularTriadsInput {
  preferences: readonly (readonly (number | null)[])[];
}

export interface CircularTriadsResult {
  triads: number;
  maximum: number;
  zeta: number;
  p: number;
  exact: boolean;
}

/** How many of the 2^(n(n−1)/2) sets of preferences among n items have 0, 1, 2 … circular triads. */
const frequencies: Record<number, readonly number[]> = {
  3: [6, 2],
  4: [24, 16, 24],
  5: [120, 120, 240, 240, 280, 24],
  6: [720, 960, 2240, 2880, 6240, 3648, 8640, 4800, 2640],
  7: [5040, 8400, 21840, 33600, 75600, 90384, 179760, 188160, 277200, 280560, 384048, 244160, 233520, 72240, 2640],
};

/**
 * How often one listener goes round in circles: A over B, B over C, yet C over A.
 *
 * Use it on the answers of one listener who judged every pair once. Few circular triads show a listener who tells the
 * items apart in one order; many are what tossing a coin gives. Assumes a preference in every pair.
 *
 * @param input.preferences rows and columns are items, 3 to 100; 1 where the row is preferred to the column, else 0; the
 *   diagonal is 0 or null
 * @returns triads; maximum: the most there can be; zeta: coefficient of consistence, 1 with none, 0 at the maximum; p:
 *   probability of so many circular triads or fewer under random choice (lower tail); exact: true up to 7 items, beyond
 *   it Kendall's χ² with ν = n(n − 1)(n − 2)/(n − 4)²
 * @throws StatsError missing, unknown-option, wrong-type, not-enough-data, out-of-range, inconsistent
 *
 * Accuracy: exact up to 7 items; the approximation beyond it to 1e-10.
 * Source: Kendall & Babington Smith (1940), Biometrika 31:324–345 (frequencies from memory, confirmed by complete
 * enumeration in the tests).
 *
 * @example
 * circularTriads({ preferences: [[0, 1, 0], [0, 0, 1], [1, 0, 0]] })
 * // { triads: 1, maximum: 1, zeta: 0, p: 1, exact: true }
 */
export function circularTriads(input: CircularTriadsInput): CircularTriadsResult {
  options(input, ['preferences']);
  const wins = winsOf(input.preferences);
  const n = wins.length;
  const scores = wins.map((row) => row.reduce((sum, win) => sum + win, 0));
  const triples = (n * (n - 1) * (n - 2)) / 6;
  // A triple is not circular exactly where one of the three beats both others: Σ C(score, 2) of them.
  const triads = triples - scores.reduce((sum, score) => sum + (score * (score - 1)) / 2, 0);
  const maximum = n % 2 === 1 ? (n * n * n - n) / 24 : (n * n * n - 4 * n) / 24;
  const zeta = 1 - triads / maximum;
  const known = frequencies[n];
  if (known !== undefined) {
    const sum = (counts: readonly number[]) => counts.reduce((total, count) => total + count, 0);
    return { triads, maximum, zeta, p: sum(known.slice(0, triads + 1)) / sum(known), exact: true };
  }
  const nu = (n * (n - 1) * (n - 2)) / (n - 4) ** 2;
  const chiSquare = (8 / (n - 4)) * (triples / 4 - triads + 0.5) + nu;
  return { triads, maximum, zeta, p: chiSquareUpper(chiSquare, nu), exact: false };
}

function winsOf(preferences: unknown): number[][] {
  const cell = (value: unknown, path: string) => {
    if (value === 0 || value === 1) return value;
    throw new StatsError('wrong-type', path, 'is no preference', '0 or 1', value);
  };
  const wins = pairMatrix(preferences, 'preferences', { min: 3, max: 100, cell, diagonal: [0] });
  requireMirrored(wins, 'preferences', 1);
  return wins;
}
