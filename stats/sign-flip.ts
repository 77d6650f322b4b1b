import { type Alternative, alternatives, choice, list, number, options, seedOf, whole } from './check';
import { StatsError } from './errors';
import { mean as meanOf, sum } from './moments';
import { seededRandom } from './seeded-random';

export interface SignFlipInput {
  perListener: readonly number[];
  alternative?: Alternative | undefined;
  seed?: number | string | undefined;
  permutations?: 'exact' | number | undefined;
}

export interface SignFlipResult {
  mean: number;
  p: number;
  exact: boolean;
}

/**
 * Sums that differ by less than this share of the sum of all sizes count as equal: rounding must not decide a tie, and
 * nothing but rounding may make one.
 */
const tolerance = 1e-11;
const mostEnumerated = 20;
const mostSteps = 2 ** 22;

/**
 * Whether a panel leans one way, each listener counting once: the sign-flip permutation test.
 *
 * Use it on one net figure for each listener, for instance times A was preferred less times B was. If nobody had a
 * preference, the sign of each listener's figure could as well be the other one; p is the share of all ways to set the
 * signs whose sum is at least as far out as the one seen. Assumes that listeners answer independently of each other, and
 * nothing about how the answers of one listener hang together. Listeners at zero change no sum; they count in the mean.
 *
 * @param input.perListener net figure of each listener, at least one; any finite numbers
 * @param input.alternative `two-sided` (default): |sum| ≥ |seen|; `greater`: sum ≥ seen; `less`: sum ≤ seen
 * @param input.seed for the Monte Carlo answer only: 32 bits or a text, by default 1
 * @param input.permutations a number asks for so many random sign patterns (100 to 10,000,000). By default exact, by
 *   counting the sums where all figures are whole multiples of one step (any number of listeners) and by enumeration up
 *   to 20 listeners off zero; else 100,000 random patterns. `exact` insists.
 * @returns mean over listeners; p (1 where all are zero); exact: whether every sign pattern was counted. Where not, p is
 *   (patterns at least as far out + 1)/(patterns + 1)
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data, not-supported
 *   (`exact` where it can't be had)
 *
 * Accuracy: exact answers 1e-12 relative; sums within 1e-11 of the sum of all sizes count as equal.
 * Source: Fisher (1935), The Design of Experiments, section 21; Phipson & Smyth (2010), Statistical Applications in
 * Genetics and Molecular Biology 9, art. 39 (the + 1).
 *
 * @example
 * signFlip({ perListener: [3, 1, 3, -1, 1, 3, 1, 1] })
 * // { mean: 1.5, p: 0.046875, exact: true }
 */
export function signFlip(input: SignFlipInput): SignFlipResult {
  options(input, ['perListener', 'alternative', 'seed', 'permutations']);
  const values = list(input.perListener, 'perListener', 1, 'net figures').map((value, i) =>
    number(value, `perListener.${i}`, { min: -1e15, max: 1e15 }),
  );
  const alternative = choice(input.alternative ?? 'two-sided', 'alternative', alternatives);
  const seed = seedOf(input.seed ?? 1);
  const { permutations } = input;
  const mean = meanOf(values);
  if (typeof permutations === 'number') {
    const patterns = whole(permutations, 'permutations', { min: 100, max: 1e7 });
    return { mean, p: randomP(values, alternative, patterns, seed), exact: false };
  }
  if (permutations !== undefined) choice(permutations, 'permutations', ['exact']);
  const steps = wholeSteps(values);
  if (steps !== null) return { mean, p: signFlipOfWhole(steps, alternative), exact: true };
  const offZero = values.filter((value) => value !== 0);
  if (offZero.length <= mostEnumerated) return { mean, p: enumeratedP(offZero, alternative), exact: true };
  if (permutations === 'exact') {
    const wrong = `can't be had for ${offZero.length} listeners without a common step`;
    throw new StatsError('not-supported', 'permutations', wrong, 'a number of random patterns', permutations);
  }
  return { mean, p: randomP(values, alternative, 100_000, seed), exact: false };
}

/** The exact p for whole numbers, without checks: microseconds for a panel, for simulations of thousands. */
export function signFlipOfWhole(values: readonly number[], alternative: Alternative): number {
  let seen = 0;
  let total = 0;
  for (const value of values) {
    seen += value;
    total += Math.abs(value);
  }
  if (alternative === 'two-sided' && seen === 0) return 1;
  const least = { greater: seen, less: -seen, 'two-sided': Math.abs(seen) }[alternative];
  // By symmetry the patterns with a sum of at least `least` are as many as those with at most −least.
  let p = 0;
  for (const share of signFlipNull(values, Math.floor((total - least) / 2))) p += share;
  return Math.min(1, alternative === 'two-sided' ? 2 * p : p);
}

/**
 * The distribution of the sum of whole numbers whose signs are tossed, its lower part: `[T]` is the share of patterns in
 * which the sizes that came out positive add up to T, the sum then being 2·T less the sum of all sizes; T from 0 to
 * `most`. One pass over the listeners counts all patterns.
 */
export function signFlipNull(values: readonly number[], most: number): Float64Array {
  const shares = new Float64Array(most + 1);
  shares[0] = 1;
  let reach = 0;
  for (const value of values) {
    const size = Math.abs(value);
    if (size === 0) continue;
    reach = Math.min(most, reach + size);
    for (let t = reach; t >= size; t--) shares[t] = ((shares[t] as number) + (shares[t - size] as number)) * 0.5;
    for (let t = Math.min(reach, size - 1); t >= 0; t--) shares[t] = (shares[t] as number) * 0.5;
  }
  return shares;
}

/** The figures as whole multiples of their common step, or null where they have none that is worth counting in. */
function wholeSteps(values: readonly number[]): number[] | null {
  let step = 0;
  for (const value of values) step = commonStep(step, Math.abs(value));
  if (step === 0) return values.map(() => 0);
  const steps = values.map((value) => Math.round(value / step));
  const total = steps.reduce((all, times) => all + Math.abs(times), 0);
  // Euclid's steps gather rounding; the mean over all figures has lost it again.
  const size = values.reduce((all, value) => all + Math.abs(value), 0);
  const apart = steps.reduce((all, times, i) => all + Math.abs((times * size) / total - (values[i] ?? 0)), 0);
  const alike = apart <= tolerance * size;
  return alike && total * steps.length <= mostSteps * 8 && total <= mostSteps ? steps : null;
}

/** Euclid's algorithm, forgiving rounding of the last digits. */
function commonStep(a: number, b: number): number {
  const small = 1e-7 * Math.max(a, b);
  let [x, y] = a > b ? [a, b] : [b, a];
  while (y > small) {
    const rest = x - Math.round(x / y) * y;
    [x, y] = [y, Math.abs(rest)];
  }
  return x;
}

function countsAsFar(values: readonly number[], alternative: Alternative): (sum: number) => boolean {
  const seen = sum(values);
  const slack = tolerance * values.reduce((all, value) => all + Math.abs(value), 0);
  if (alternative === 'greater') return (total) => total >= seen - slack;
  if (alternative === 'less') return (total) => total <= seen + slack;
  return (total) => Math.abs(total) >= Math.abs(seen) - slack;
}

function enumeratedP(values: readonly number[], alternative: Alternative): number {
  const asFar = countsAsFar(values, alternative);
  const sums = new Float64Array(2 ** values.length);
  let filled = 1;
  for (const value of values) {
    for (let i = 0; i < filled; i++) {
      const sum = sums[i] as number;
      sums[i] = sum + value;
      sums[filled + i] = sum - value;
    }
    filled *= 2;
  }
  return sums.reduce((count, sum) => (asFar(sum) ? count + 1 : count), 0) / filled;
}

function randomP(values: readonly number[], alternative: Alternative, patterns: number, seed: number | string): number {
  const asFar = countsAsFar(values, alternative);
  const random = seededRandom(seed);
  let far = 0;
  for (let k = 0; k < patterns; k++) {
    let sum = 0;
    let bits = 0;
    for (let i = 0; i < values.length; i++) {
      if (i % 32 === 0) bits = random.word();
      sum += bits & 1 ? (values[i] as number) : -(values[i] as number);
      bits >>>= 1;
    }
    if (asFar(sum)) far++;
  }
  return (far + 1) / (patterns + 1);
}
