import { type AudienceName, type AudienceRow, type ListenerFigures, listenerFigures } from './audience-rows';
import { options, seedOf, whole } from './check';
import { StatsError } from './errors';
import { centred, mean, sum, sumOfSquares } from './moments';
import { seededRandom } from './seeded-random';

export interface AudienceInteractionInput {
  rows: readonly AudienceRow[];
  seed?: number | string | undefined;
  permutations?: number | undefined;
}

export interface AudienceInteractionResult {
  statistic: number;
  p: number;
  exact: boolean;
  permutations: number;
  audiences: { audience: AudienceName; listeners: number; mean: number }[];
}

/** So many ways to deal listeners to audiences are gone through one by one: two audiences of ten have 184,756. */
const mostEnumerated = 200_000;
/** One listener beside thousands has few ways to be dealt, but each would have to be walked all along. */
const mostWalked = 1000;
/** Sums of squares that differ by less than this share of the whole count as equal: rounding must not decide a tie. */
const tolerance = 1e-11;

/**
 * Whether audiences answer differently: a permutation test with the listener as the unit.
 *
 * Use it before anything is said of several audiences together. If the audience made no difference, the listeners could
 * as well have sat in any other; p is the share of all ways to deal the listeners to audiences of these sizes in which
 * the audiences' means lie at least as far apart as seen. Assumes that listeners answer independently of each other, and
 * under the null that they are exchangeable: audiences that agree in the mean and differ in spread are no null where
 * their sizes differ, too. A large p is no proof that audiences are alike, least of all with few listeners.
 *
 * @param input.rows one figure each: listener and audience (names: texts, or numbers, which count as their texts), and
 *   `value`, any finite number, or `wins`, from 0. A listener may have several rows, of which the mean counts, and sits
 *   in one audience. At least two audiences
 * @param input.seed for the Monte Carlo answer only: 32 bits or a text, by default 1
 * @param input.permutations random ways to deal, 100 to 1,000,000, by default 10,000; taken only where there are more
 *   than 200,000 distinct ones or 1,000 listeners, else all are counted
 * @returns statistic: Σ n·(mean of the audience − mean of all)² over audiences of n listeners, in squared units (p would
 *   be the same from the F of it); p, 1 where all listeners are alike; exact: whether every distinct way was counted;
 *   permutations: how many were. Where not exact, p is (ways at least as far apart + 1)/(permutations + 1). audiences, in
 *   order of their first row: listeners, and mean over listeners
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (one audience), inconsistent (a
 *   listener in two audiences; value in some rows and wins in others, or both in one)
 *
 * Accuracy: exact p 1e-12 relative, sums of squares within 1e-11 of the whole counting as equal; else that of the
 * simulation. Neither names nor the order of rows change p.
 * Source: Pitman (1938), Biometrika 29:322–335 (analysis of variance by permutation); Phipson & Smyth (2010),
 * Statistical Applications in Genetics and Molecular Biology 9, art. 39 (the + 1).
 *
 * @example
 * audienceInteraction({
 *   rows: ['P1 home 3', 'P2 home 2', 'P3 home 3', 'P4 stage 0', 'P5 stage 1', 'P6 stage 0', 'P7 stage 0']
 *     .map((row) => row.split(' '))
 *     .map(([listener, audience, value]) => ({ listener, audience, value: Number(value) })),
 * })
 * // { statistic: 10.0119047619048, p: 0.0285714285714286, exact: true, permutations: 35 }
 */
export function audienceInteraction(input: AudienceInteractionInput): AudienceInteractionResult {
  options(input, ['rows', 'seed', 'permutations']);
  const audiences = listenerFigures(input.rows);
  const seed = seedOf(input.seed ?? 1);
  const permutations = whole(input.permutations ?? 10_000, 'permutations', { min: 100, max: 1_000_000 });
  if (audiences.length < 2) {
    throw new StatsError('not-enough-data', 'rows', 'hold one audience', 'at least 2 audiences', audiences.length);
  }
  const sizes = audiences.map(({ figures }) => figures.length);
  const deviations = centred(audiences.flatMap(({ figures }) => figures));
  const statistic = between(groupSums(deviations, sizes), sizes);
  const least = statistic - tolerance * sumOfSquares(deviations);
  // Sorted, so that neither names nor the order of rows decide which ways are drawn.
  const [pool, places] = [deviations.toSorted((a, b) => a - b), sizes.toSorted((a, b) => a - b)];
  const ways = waysToDeal(places);
  const exact = ways <= mostEnumerated && pool.length <= mostWalked;
  const counted = exact ? ways : permutations;
  const far = exact ? allAsFar(pool, places, least) : randomAsFar(pool, places, least, permutations, seed);
  const p = exact ? far / ways : (far + 1) / (permutations + 1);
  return { statistic, p, exact, permutations: counted, audiences: audiences.map(described) };
}

const described = ({ audience, figures }: ListenerFigures) => ({
  audience,
  listeners: figures.length,
  mean: mean(figures),
});

/** Σ n·mean², of deviations from the mean of all. */
const between = (sums: readonly number[], sizes: readonly number[]): number =>
  sums.reduce((total, one, i) => total + one ** 2 / (sizes[i] as number), 0);

function groupSums(values: readonly number[], sizes: readonly number[]): number[] {
  let from = 0;
  return sizes.map((size) => {
    from += size;
    return sum(values.slice(from - size, from));
  });
}

/** n!/(n₁!·n₂!·…): as a product of binomials, whole at every step; Infinity beyond what is enumerated. */
function waysToDeal(sizes: readonly number[]): number {
  let ways = 1;
  let dealt = 0;
  for (const size of sizes) {
    for (let k = 1; k <= size; k++) {
      dealt++;
      ways = (ways * dealt) / k;
      if (ways > Number.MAX_SAFE_INTEGER / 1e5) return Number.POSITIVE_INFINITY;
    }
  }
  return ways;
}

/** Ways to deal with a statistic of at least `least`, each distinct one visited once. */
function allAsFar(values: readonly number[], sizes: readonly number[], least: number): number {
  const room = [...sizes];
  const sums = sizes.map(() => 0);
  const deal = (next: number): number => {
    if (next === values.length) return between(sums, sizes) >= least ? 1 : 0;
    let far = 0;
    for (let i = 0; i < sizes.length; i++) {
      if (room[i] === 0) continue;
      const before = sums[i] as number;
      sums[i] = before + (values[next] as number);
      (room[i] as number)--;
      far += deal(next + 1);
      // Set back, not subtracted: no rounding gathers over the visits.
      sums[i] = before;
      (room[i] as number)++;
    }
    return far;
  };
  return deal(0);
}

/**
 * Of so many random ways to deal. The last audience gets who is left, so nobody is drawn for it. A place is drawn by one
 * multiplication, which favours none by more than one in four million at a thousand listeners.
 */
function randomAsFar(
  values: readonly number[],
  sizes: readonly number[],
  least: number,
  permutations: number,
  seed: number | string,
): number {
  const random = seededRandom(seed);
  const pool = Float64Array.from(values);
  const all = sum(values);
  const last = sizes.length - 1;
  let far = 0;
  for (let k = 0; k < permutations; k++) {
    let total = 0;
    let rest = all;
    let left = pool.length;
    for (let i = 0; i < last; i++) {
      const size = sizes[i] as number;
      let own = 0;
      for (const end = left - size; left > end; left--) {
        const j = Math.floor((random.word() / 0x100000000) * left);
        const value = pool[j] as number;
        pool[j] = pool[left - 1] as number;
        pool[left - 1] = value;
        own += value;
      }
      total += own ** 2 / size;
      rest -= own;
    }
    if (total + rest ** 2 / (sizes[last] as number) >= least) far++;
  }
  return far;
}
