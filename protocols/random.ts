export { shuffled } from '../stats/shuffled';

/** A source of uniform numbers that a method is handed; it never makes its own. */
export interface Random {
  /** A whole number from 0 to n − 1, each equally likely. n from 1 to 2^32. */
  below(n: number): number;
  /** A number in [0, 1) with 53 random bits. */
  uniform(): number;
}

/**
 * Randomness by address: the same path gives the same stream, whoever asks and in whatever order, so that an
 * allocation depends on the seed and on its own address and on nothing else.
 */
export interface Randomness {
  at(...path: (string | number)[]): Random;
}
