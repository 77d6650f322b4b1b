import { list, number, options, probability, whole } from './check';
import { binomialUpper, chiSquareUpper, normalQuantile } from './distributions';
import { StatsError } from './errors';
import { type CountRow, GuessedCounts } from './guessed-counts';
import { type MixtureFit, ShareMixture } from './share-mixture';

/** One listener's answers. */
export interface ListenerCount {
  correct: number;
  trials: number;
}

export interface ReplicatedDifferenceInput {
  listeners: readonly ListenerCount[];
  weights?: readonly number[] | undefined;
  chance?: number | undefined;
  level?: number | undefined;
}

/** A beta distribution of shares over listeners. */
export interface SharesOfListeners {
  mean: number;
  gamma: number | null;
  alpha: number | null;
  beta: number | null;
  logLik: number;
  standardErrors: { mean: number | null; gamma: number | null };
  lower: number;
  upper: number;
  boundary: boolean;
  identified: boolean;
}

export interface ReplicatedDifferenceResult {
  binomial: { proportion: number; logLik: number };
  betaBinomial: SharesOfListeners;
  chanceCorrected: SharesOfListeners;
  overdispersion: { statistic: number | null; p: number | null };
  difference: { count: number; trials: number; p: number };
}

/** Most answers of one listener, and of all together. */
const mostTrials = 1e6;
const mostInAll = 1e9;

/**
 * Can anyone hear it, in what share of trials, and how much do listeners differ, when each answered several times?
 *
 * Use it where listeners repeat a difference test and the verdict is about listeners: answers of one resemble each other,
 * and pooled counts promise too narrow an interval. Three models of the same counts: `binomial`, all listeners and
 * trials alike; `betaBinomial`, each listener with a probability of a right answer of their own, from a beta
 * distribution; `chanceCorrected`, each with a share of trials of their own in which they hear the difference, from a
 * beta distribution, and guessing in the rest: a right answer has probability chance + (1 − chance)·share. Its mean is
 * the share that the average listener hears: of listeners, where each hears it always or never. Assumes independent
 * answers given the listener, and listeners drawn independently from those whom the verdict is about.
 *
 * @param input.listeners one entry a listener (or a kind of them, see weights): `correct` right answers, from 0 to
 *   `trials`, which are from 1 to 1,000,000
 * @param input.weights how many listeners each entry stands for, whole numbers from 1; by default 1 each. At most 1e9
 *   trials in all
 * @param input.chance probability of a right answer by guessing, from 0 to below 1, by default 0.5; at 0 the two beta
 *   models are one
 * @param input.level two-sided level of `lower` and `upper`, between 0 and 1, by default 0.95: 0.90 gives one-sided 95 %
 *   limits
 * @returns binomial: proportion and logLik. betaBinomial, of probabilities of a right answer, and chanceCorrected, of
 *   shares: mean; gamma = 1/(alpha + beta + 1), from 0, all listeners alike, to 1, each always or never (of two trials
 *   of one listener it is the correlation); alpha and beta, `null` where gamma is `null`, 0 or 1; standardErrors from the
 *   observed information; boundary, whether mean or gamma lies at an end of what is possible (gamma 0 or 1, mean 0 or
 *   1): there gamma has no standard error (`null`), at gamma 0 and 1 that of the mean takes gamma for known, and at mean
 *   0 or 1 (nobody hears it, all right) gamma is `null`, since nothing is left to differ in, and so are both errors.
 *   identified is false where every listener has one trial: then counts of listeners who differ are those of listeners
 *   who don't, gamma is `null` and the mean is the binomial's. lower, upper: profile likelihood of the mean, that is all
 *   means of which the largest likelihood over gamma, from 0 to 1 with both ends, is at most half a χ²₁ quantile below
 *   the largest of all; 0 or 1 where they reach that end. logLik is that of the counts with their binomial
 *   coefficients. overdispersion: statistic, twice the log likelihood that betaBinomial gains over binomial, and its p by
 *   half of χ²₁, 1 where nothing is gained (gamma 0 is an end); both `null` where not identified. difference: right
 *   answers and trials of all, and p, the probability of so many right or more if nobody hears anything: exact however
 *   much listeners differ, since then every trial is a guess of its own
 *   Where nobody hears anything gamma means nothing, and the lower limit of chanceCorrected is then above 0 more often
 *   than the level says: at 0.95 in 3 to 7 studies of 100 instead of 2.5 (simulated, 6 to 100 listeners of 4 to 16
 *   trials: node tests/bench/bench.mjs heard-share). Whether anyone hears it is for `difference` to say.
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, inconsistent, not-enough-data, not-converged
 *
 * Accuracy: means, gammas and limits 1e-9 relative, logLik 1e-10, up to 1,000 trials of a listener; 1e-7 and 1e-8 up to
 * 1,000,000.
 * Source: Skellam (1948), Journal of the Royal Statistical Society B 10:257–261 (beta-binomial); Morrison (1978), The
 * American Statistician 32:23–25, and Brockhoff (2003), Food Quality and Preference 14:405–417 (guessing and listeners
 * who differ); Self & Liang (1987), Journal of the American Statistical Association 82:605–610 (half χ²₁); profile
 * likelihood as in Venzon & Moolgavkar (1988), Applied Statistics 37:87–94. Citations from memory.
 *
 * @example
 * replicatedDifference({ listeners: [{ correct: 12, trials: 12 }, { correct: 11, trials: 12 }, { correct: 8, trials: 12 }, { correct: 7, trials: 12 }] })
 * // { chanceCorrected: { mean: 0.574320141394001, gamma: 0.407485410781748, logLik: -7.831315604992401, lower: 0.154369557936850, upper: 0.868228685917197 }, difference: { count: 38, trials: 48 } }
 */
export function replicatedDifference(input: ReplicatedDifferenceInput): ReplicatedDifferenceResult {
  options(input, ['listeners', 'weights', 'chance', 'level']);
  const rows = rowsOf(input);
  const chance = number(input.chance ?? 0.5, 'chance', { min: 0, max: 1 });
  if (chance === 1)
    throw new StatsError('out-of-range', 'chance', 'leaves nothing to hear', 'a number below 1', chance);
  const level = probability(input.level ?? 0.95, 'level');
  // A level next to 0 would have no drop at all.
  const drop = Math.max(normalQuantile((1 - level) / 2) ** 2 / 2, 1e-100);
  const [count, trials] = [total(rows, 'correct'), total(rows, 'trials')];
  const plain = fitted(rows, 0, drop);
  const proportion = count / trials;
  const binomial = { proportion, logLik: binomialLogLik(rows, proportion) };
  return {
    binomial,
    betaBinomial: plain,
    chanceCorrected: chance === 0 ? plain : fitted(rows, chance, drop),
    overdispersion: overdispersionOf(binomial.logLik, plain),
    difference: { count, trials, p: guessed(count, trials, chance) },
  };
}

function fitted(rows: readonly CountRow[], chance: number, drop: number): SharesOfListeners {
  const mixture = new ShareMixture(rows, chance);
  const fit = mixture.fit();
  const { mean, gamma, logLik, standardErrors, boundary } = fit;
  const size = gamma === null || gamma === 0 || gamma === 1 ? null : (1 - gamma) / gamma;
  const [alpha, beta] = size === null ? [null, null] : [mean * size, (1 - mean) * size];
  const { lower, upper } = mixture.limits(fit, drop);
  const { identified } = mixture;
  return { mean, gamma, alpha, beta, logLik, standardErrors, lower, upper, boundary, identified };
}

/** The likelihood of all listeners alike; at 0 and 1 it is certain. */
const binomialLogLik = (rows: readonly CountRow[], proportion: number): number =>
  proportion === 0 || proportion === 1 ? 0 : new GuessedCounts(rows, 0).at(proportion, 0).logLik;

function overdispersionOf(binomial: number, { logLik, gamma, identified }: MixtureFit & { identified: boolean }) {
  if (!identified) return { statistic: null, p: null };
  if (gamma === null || gamma === 0) return { statistic: 0, p: 1 };
  const statistic = Math.max(0, 2 * (logLik - binomial));
  return { statistic, p: statistic === 0 ? 1 : chiSquareUpper(statistic, 1) / 2 };
}

/** The chance of so many right or more by guessing; where guessing is never right, one right answer settles it. */
function guessed(count: number, trials: number, chance: number): number {
  if (count === 0) return 1;
  return chance === 0 ? 0 : binomialUpper(count, trials, chance);
}

const total = (rows: readonly CountRow[], what: 'correct' | 'trials'): number =>
  rows.reduce((sum, row) => sum + row.weight * row[what], 0);

/** Listeners with the same counts as one row, in an order of their own, so that theirs can't move a digit. */
function rowsOf(input: ReplicatedDifferenceInput): CountRow[] {
  const counts = list(input.listeners, 'listeners', 1, 'listeners').map(countOf);
  const weights = weightsOf(input.weights, counts.length);
  const rows = new Map<string, CountRow>();
  let all = 0;
  for (const [i, { correct, trials }] of counts.entries()) {
    const weight = weights[i] ?? 1;
    all += weight * trials;
    const key = `${correct}/${trials}`;
    rows.set(key, { correct, trials, weight: weight + (rows.get(key)?.weight ?? 0) });
  }
  if (all > mostInAll) {
    throw new StatsError(
      'out-of-range',
      'listeners',
      'have too many trials in all',
      'at most 1e9, weights counted',
      all,
    );
  }
  return [...rows.values()].sort((a, b) => a.trials - b.trials || a.correct - b.correct);
}

function countOf(row: unknown, i: number): ListenerCount {
  const path = `listeners.${i}`;
  options(row, ['correct', 'trials'], path);
  const { correct, trials } = row as Partial<ListenerCount>;
  const of = whole(trials, `${path}.trials`, { min: 1, max: mostTrials });
  return { correct: whole(correct, `${path}.correct`, { min: 0, max: of }), trials: of };
}

function weightsOf(value: unknown, length: number): number[] {
  if (value === undefined) return [];
  const weights = list(value, 'weights', 1, 'whole numbers').map((weight, i) =>
    whole(weight, `weights.${i}`, { min: 1, max: mostInAll }),
  );
  if (weights.length === length) return weights;
  const allowed = `as many entries as listeners, ${length}`;
  throw new StatsError('inconsistent', 'weights', 'differs in length', allowed, `${weights.length} entries`);
}
