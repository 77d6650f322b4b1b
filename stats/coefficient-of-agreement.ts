import { options, whole } from './check';
import { chiSquareUpper } from './distributions';
import { StatsError } from './errors';
import { eachPair, pairMatrix, requireMirrored } from './pair-matrix';

export interface CoefficientOfAgreementInput {
  wins: readonly (readonly (number | null)[])[];
  listeners: number;
}

export interface CoefficientOfAgreementResult {
  u: number;
  chiSquare: number;
  degreesOfFreedom: number;
  p: number;
}

/**
 * How far listeners agree in their paired comparisons: Kendall's coefficient of agreement u.
 *
 * Use it where each of three or more listeners judged every pair once; a panel that agrees on nothing gives no order of
 * items worth showing. u is 1 where all answer alike in every pair and lowest, −1/listeners or −1/(listeners − 1), where
 * each pair is split as evenly as can be. Assumes a preference in every pair; under the null every answer is a toss-up.
 *
 * @param input.wins how many listeners preferred the row to the column, whole numbers, mirrored cells adding up to
 *   `listeners`; at least two items; diagonal 0 or null
 * @param input.listeners at least 3: the χ² approximation divides by listeners − 2
 * @returns u; chiSquare = 4/(m − 2)·(Σ C(wins, 2) − ½·C(n, 2)·C(m, 2)·(m − 3)/(m − 2)) for n items and m listeners, without
 *   continuity correction; degreesOfFreedom = C(n, 2)·m(m − 1)/(m − 2)², not always whole; p: upper tail, so much
 *   agreement or more
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data, inconsistent (mirrored cells)
 *
 * Accuracy: 1e-10 relative; the χ² itself is an approximation.
 * Source: Kendall & Babington Smith (1940), Biometrika 31:324–345; Kendall (1970), Rank Correlation Methods, chapter 11
 * (formulas from memory).
 *
 * @example
 * coefficientOfAgreement({ wins: [[0, 4, 3], [0, 0, 3], [1, 1, 0]], listeners: 4 })
 * // { u: 0.333333333333333, chiSquare: 15, degreesOfFreedom: 9, p: 0.0909359765798052 }
 */
export function coefficientOfAgreement(input: CoefficientOfAgreementInput): CoefficientOfAgreementResult {
  options(input, ['wins', 'listeners']);
  const m = whole(input.listeners, 'listeners', { min: 1, max: 1e6 });
  if (m < 3) {
    const wrong = 'are too few: the χ² divides by listeners less 2';
    throw new StatsError('not-enough-data', 'listeners', wrong, 'at least 3', m);
  }
  const cell = (value: unknown, path: string) => whole(value, path, { min: 0, max: m });
  const wins = pairMatrix(input.wins, 'wins', { min: 2, max: 1000, cell, diagonal: [0] });
  requireMirrored(wins, 'wins', m);
  const listenerPairs = (m * (m - 1)) / 2;
  const itemPairs = (wins.length * (wins.length - 1)) / 2;
  let agreements = 0;
  eachPair(wins, (_i, _j, forward, backward) => {
    agreements += (forward * (forward - 1) + backward * (backward - 1)) / 2;
  });
  const expected = (itemPairs * listenerPairs * (m - 3)) / (2 * (m - 2));
  const chiSquare = (4 * (agreements - expected)) / (m - 2);
  const degreesOfFreedom = (itemPairs * m * (m - 1)) / (m - 2) ** 2;
  const u = (2 * agreements) / (listenerPairs * itemPairs) - 1;
  return { u, chiSquare, degreesOfFreedom, p: chiSquareUpper(chiSquare, degreesOfFreedom) };
}
