import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { chiSquareUpper, normalUpper } from '../stats/distributions';
import { seededRandom } from '../stats/seeded-random';
import { signFlipOfWhole } from '../stats/sign-flip';
import { alphaEach } from './alpha-each';
import { allPairs } from './balanced-pairs';
import type { Random, Randomness } from './random';
import { designBlocks, rankingOrder } from './ranking-order';
import { type RankingSpec, rankingOf } from './ranking-spec';
import { drawnOrder, drawnWorths } from './ranking-tastes';

/** The spread of listeners' own tastes that power is stated for: an assumption, said wherever power is shown. */
export const assumedRankingGamma = 0.3;

/** Seeded panels for one figure: a standard error of at most 0.025. */
const panels = 400;
const mostListeners = 200;

export interface RankingFinds {
  audience: AudienceId;
  listeners: number;
  /** Chance that a preference is shown, by the panel's share for the one that is liked better; the plan's is among them. */
  power: { share: number; power: number; smallest: boolean }[];
  /** Listeners who show the smallest share worth finding with the planned chance; null where 200 don't. */
  needed: number | null;
  /** What this audience is sure to be tested at. */
  alpha: number;
}

const shares = [0.6, 0.7, 0.8, 0.9];

/** What the planned rankings can find, by audience. */
export function rankingFinds(plan: Plan): RankingFinds[] {
  const { smallest } = plan.risks;
  const asked = [...new Set([...shares, smallest.value])].sort((a, b) => a - b);
  return plan.audiences.map(({ id, listeners }) => ({
    audience: id as AudienceId,
    listeners,
    power: asked.map((share) => ({
      share,
      power: rankingPower(plan, listeners, share),
      smallest: share === smallest.value,
    })),
    needed: rankingSize(plan),
    alpha: alphaEach(plan),
  }));
}

/**
 * The chance that a panel of so many listeners shows a preference when that share of it puts one of the primary pair
 * before the other, all other prototypes standing half-way between the two: by 400 seeded panels with listeners' own
 * tastes (`assumedRankingGamma`). Found is what the verdict asks for: an order, here by the published approximation, and
 * a pair that is separated by sign flips with Holm's first step. With several audiences at α over their number.
 *
 * Accuracy: that of the simulation, a standard error of at most 0.025.
 */
export function rankingPower(plan: Plan, listeners: number, share: number): number {
  return remembered('power', plan, [listeners, share], () => {
    const { size, rankings, predicted } = rankingOf(plan);
    const n = plan.prototypes.length;
    const random = seededRandom(`ranking power ${listeners} ${share}`);
    const alpha = alphaEach(plan);
    const pairs = allPairs(n);
    let found = 0;
    for (let panel = 0; panel < panels; panel++) {
      const rows = panelOf(plan, { size, rankings }, listeners, share, random, panel);
      const least = predicted ? trendP(rows, n) : orderP(rows, n);
      if (least <= alpha && leastPairP(rows, pairs, predicted) * pairs.length <= alpha) found++;
    }
    return found / panels;
  });
}

/** The fewest listeners, of those that fill whole designs, with the planned power; null where 200 don't have it. */
export function rankingSize(plan: Plan): number | null {
  const { beta, smallest } = plan.risks;
  const { size, rankings } = rankingOf(plan);
  return remembered('size', plan, [beta, smallest.value], () => {
    const each = rankings * plan.sessions.count;
    const blocks = designBlocks(plan.prototypes.length, size) ?? 1;
    const step = blocks / divisor(blocks, each);
    const enough = (steps: number) => rankingPower(plan, steps * step, smallest.value) >= 1 - beta;
    let high = 1;
    while (high * step < mostListeners && !enough(high)) high *= 2;
    let low = Math.floor(high / 2);
    high = Math.min(high, Math.floor(mostListeners / step));
    if (high < 1 || !enough(high)) return null;
    while (high - low > 1) {
      const middle = Math.floor((low + high) / 2);
      if (enough(middle)) high = middle;
      else low = middle;
    }
    return high * step;
  });
}

const divisor = (a: number, b: number): number => (b === 0 ? a : divisor(b, a % b));

/** Power depends on the design alone, and is asked for again and again. */
const memory = new Map<string, number | null>();
function remembered<T extends number | null>(what: string, plan: Plan, key: unknown[], compute: () => T): T {
  const { method, prototypes, sessions, primary, risks } = plan;
  const pair = [primary.first, primary.second].map((id) => prototypes.findIndex((one) => one.id === id));
  const address = JSON.stringify([
    what,
    method.spec,
    prototypes.length,
    sessions.count,
    pair,
    risks.alpha,
    plan.audiences.length,
    key,
  ]);
  if (!memory.has(address)) memory.set(address, compute());
  return memory.get(address) as T;
}

/** Deviations of each listener's ranks from the middle, times two, summed over the rankings of all sittings. */
function panelOf(
  plan: Plan,
  { size, rankings }: Pick<RankingSpec, 'size' | 'rankings'>,
  listeners: number,
  share: number,
  random: Random,
  panel: number,
): Int16Array[] {
  const n = plan.prototypes.length;
  const names = plan.prototypes.map((_, i) => String(i) as PrototypeId);
  const log = Math.log(share / (1 - share)) / 2;
  const at = (id: string) => String(plan.prototypes.findIndex((one) => one.id === id));
  const truth = {
    worth: { [at(plan.primary.first)]: log, [at(plan.primary.second)]: -log },
    gamma: assumedRankingGamma,
  };
  const named = { ...plan, prototypes: names.map((id) => ({ id, name: id, units: [] })) };
  const audience = '' as AudienceId;
  const dealt = { audiences: [{ id: audience, name: '', listeners }], sessions: plan.sessions };
  const randomness: Randomness = { at: (...path) => seededRandom(`${panel} ${path.join(' ')}`) };
  return Array.from({ length: listeners }, (_, i) => {
    const own = drawnWorths(truth, named, random);
    const sums = new Int16Array(n);
    for (let sitting = 1; sitting <= plan.sessions.count; sitting++) {
      for (let ranking = 0; ranking < rankings; ranking++) {
        // Without habits of place only incomplete blocks hang on the draw.
        const items =
          size >= n
            ? names.map((_, item) => item)
            : rankingOrder(n, { size, rankings }, { audience, ordinal: i + 1, sitting }, ranking, dealt, randomness);
        const order = drawnOrder(
          truth,
          own,
          items.map((item) => names[item] as PrototypeId),
          random,
        );
        order.forEach((place, rank) => {
          const item = items[place] as number;
          sums[item] = (sums[item] as number) + 2 * rank + 1 - items.length;
        });
      }
    }
    return sums;
  });
}

function columns(rows: readonly Int16Array[], n: number): { sums: Float64Array; within: number } {
  const sums = new Float64Array(n);
  let within = 0;
  for (const row of rows) {
    for (let j = 0; j < n; j++) {
      const value = row[j] as number;
      sums[j] = (sums[j] as number) + value;
      within += value * value;
    }
  }
  return { sums, within };
}

/** Friedman's and Durbin's χ² with the listener as the unit: (t − 1)·Σ(column sum)²/Σ figure². */
function orderP(rows: readonly Int16Array[], n: number): number {
  const { sums, within } = columns(rows, n);
  if (within === 0) return 1;
  return chiSquareUpper(((n - 1) * sums.reduce((sum, one) => sum + one * one, 0)) / within, n - 1);
}

/** Page's trend with the listener as the unit, from each listener's own product with the expected places. */
function trendP(rows: readonly Int16Array[], n: number): number {
  let total = 0;
  let variance = 0;
  for (const row of rows) {
    let own = 0;
    for (let j = 0; j < n; j++) own += (j + 1) * (row[j] as number);
    total += own;
    variance += row.reduce((sum, one) => sum + one * one, 0);
  }
  // Shuffled among n places, a product with 1 … n has the variance Σ figure²·n(n + 1)/12.
  return variance === 0 ? 1 : normalUpper(total / Math.sqrt((variance * n * (n + 1)) / 12));
}

function leastPairP(rows: readonly Int16Array[], pairs: readonly (readonly [number, number])[], oneSided: boolean) {
  let least = 1;
  for (const [a, b] of pairs) {
    const differences = rows.map((row) => (row[a] as number) - (row[b] as number));
    least = Math.min(least, signFlipOfWhole(differences, oneSided ? 'less' : 'two-sided'));
  }
  return least;
}
