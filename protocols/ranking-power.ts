import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { chiSquareUpper, normalUpper } from '../stats/distributions';
import { type SeededRandom, seededRandom } from '../stats/seeded-random';
import { shuffled } from '../stats/shuffled';
import { signFlipOfWhole } from '../stats/sign-flip';
import { alphaEach } from './alpha-each';
import { allPairs } from './balanced-pairs';
import { designBlocks, evenDesign } from './ranking-order';
import { primaryWeight } from './ranking-pairs';
import { rankingOf } from './ranking-spec';
import { stretch, tasteSd } from './ranking-tastes';
import { normalVariate } from './virtual-listener';

/** The spread of listeners' own tastes that power is stated for: an assumption, said wherever power is shown. */
export const assumedRankingGamma = 0.3;

/** Seeded panels for one figure: a standard error of at most 0.025, or 0.035 where panels are so large that they take long. */
const panels = { usual: 400, large: 200 };
const largeFrom = 10_000;
const surePanels = 100;
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
 * before the other, all other prototypes standing half-way between the two: by 400 seeded panels, 200 of the largest, with
 * listeners' own tastes (`assumedRankingGamma`). Found is what the verdict asks for: an order, here by the published
 * approximation, and a pair that is separated by sign flips, at the first step of its correction. With several audiences
 * at α over their number.
 *
 * Accuracy: that of the simulation, a standard error of at most 0.025, of the largest panels 0.035; what comes to 0 or 1
 * in the first hundred panels is told by them, within 0.03.
 */
export function rankingPower(plan: Plan, listeners: number, share: number): number {
  return remembered('power', plan, [listeners, share], () => {
    const { predicted, rankings } = rankingOf(plan);
    const n = plan.prototypes.length;
    const alpha = alphaEach(plan);
    const pairs = pairsAt(plan, alpha);
    const panelAt = panelsOf(plan, share);
    const played = listeners * rankings * plan.sessions.count >= largeFrom ? panels.large : panels.usual;
    let found = 0;
    for (let panel = 0; panel < played; panel++) {
      const rows = panelAt(panel, listeners);
      const least = predicted ? trendP(rows, n) : orderP(rows, n);
      if (least <= alpha && anyPair(rows, pairs, predicted)) found++;
      // All of the first hundred, or none: then it is more than 97 %, or less than 3 %, and large panels take long.
      if (panel === surePanels - 1 && (found === 0 || found === surePanels)) return found / surePanels;
    }
    return found / played;
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
  const address = addressOf(plan, [what, ...key]);
  if (!memory.has(address)) memory.set(address, compute());
  return memory.get(address) as T;
}

function addressOf(plan: Plan, key: unknown[]): string {
  const { method, prototypes, sessions, primary, risks } = plan;
  const pair = [primary.first, primary.second].map((id) => prototypes.findIndex((one) => one.id === id));
  return JSON.stringify([
    method.spec,
    prototypes.length,
    sessions.count,
    pair,
    risks.alpha,
    plan.audiences.length,
    key,
  ]);
}

/** The panels that were asked for last: a search for the size asks for ever larger ones of the same. */
let kept: { address: string; rows: Int16Array[][]; more: (() => Int16Array)[] } | null = null;

/** Panels by number and size. A larger one begins with the listeners of a smaller one. */
function panelsOf(plan: Plan, share: number): (panel: number, listeners: number) => Int16Array[] {
  const address = addressOf(plan, [share]);
  if (kept?.address !== address) kept = { address, rows: [], more: [] };
  const { rows, more } = kept;
  return (panel, listeners) => {
    rows[panel] ??= [];
    more[panel] ??= listenersOf(plan, share, seededRandom(`ranking power ${panel}`));
    const own = rows[panel];
    while (own.length < listeners) own.push(more[panel]());
    return own.slice(0, listeners);
  };
}

/** One listener after the other: deviations of ranks from the middle, times two, summed over the rankings of all sittings. */
function listenersOf(plan: Plan, share: number, random: SeededRandom): () => Int16Array {
  const { size, rankings } = rankingOf(plan);
  const n = plan.prototypes.length;
  const worths = worthsOf(plan, share);
  const sd = tasteSd(assumedRankingGamma);
  const each = rankings * plan.sessions.count;
  const next = dealer(n, size, random);
  return () => {
    const strengths = worths.map((worth) => Math.exp(worth * stretch(sd) + sd * normalVariate(random)));
    const sums = new Int16Array(n);
    const felt = new Float64Array(size);
    for (let ranking = 0; ranking < each; ranking++) {
      // Choosing the best by strengths, one after the other, is to order log strengths with Gumbel noise on them (Yellott
      // 1977, Journal of Mathematical Psychology 15:109-144, from memory); or strengths over exponential variates.
      const items = next();
      for (let i = 0; i < items.length; i++) {
        felt[i] = (strengths[items[i] as number] as number) / -Math.log(1 - random.uniform());
      }
      for (let i = 0; i < items.length; i++) {
        const item = items[i] as number;
        let rank = 1;
        for (let j = 0; j < items.length; j++) if ((felt[j] as number) > (felt[i] as number)) rank++;
        sums[item] = (sums[item] as number) + 2 * rank - items.length - 1;
      }
    }
    return sums;
  };
}

/** One of the primary pair above the other by that share of the panel, the rest half-way between. */
function worthsOf(plan: Plan, share: number): number[] {
  const half = Math.log(share / (1 - share)) / 2;
  return plan.prototypes.map(({ id }) => (id === plan.primary.first ? half : id === plan.primary.second ? -half : 0));
}

/** What the next ranking holds: all, or the next block of a design that is dealt out in whole sets. */
function dealer(n: number, size: number, random: SeededRandom): () => number[] {
  const all = Array.from({ length: n }, (_, item) => item);
  if (size >= n) return () => all;
  const design = evenDesign(n, size);
  let left: number[][] = [];
  return () => {
    if (left.length === 0) {
      const labels = shuffled(all, random);
      left = shuffled(design, random).map((block) => block.map((item) => labels[item] as number));
    }
    return left.pop() as number[];
  };
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

/** Sign flips are counted for so many listeners; more are taken by the normal approximation. */
const mostCounted = 20;

interface TestedAt {
  a: number;
  b: number;
  alpha: number;
}

/** Each pair with the α of the first step of its correction; the primary one in front. */
function pairsAt(plan: Plan, alpha: number): TestedAt[] {
  const all = allPairs(plan.prototypes.length);
  const { first, second } = plan.primary;
  const isPrimary = (place: number) => [first, second].includes(plan.prototypes[place]?.id ?? '');
  const pairs = all.map(([a, b]): TestedAt => {
    const weight = isPrimary(a) && isPrimary(b) ? primaryWeight : (1 - primaryWeight) / (all.length - 1);
    return { a, b, alpha: alpha * weight };
  });
  return pairs.sort((one, other) => other.alpha - one.alpha);
}

function anyPair(rows: readonly Int16Array[], pairs: readonly TestedAt[], oneSided: boolean): boolean {
  return pairs.some(({ a, b, alpha }) => {
    const differences = rows.map((row) => (row[a] as number) - (row[b] as number));
    if (rows.length <= mostCounted) {
      return signFlipOfWhole(differences, oneSided ? 'less' : 'two-sided') <= alpha;
    }
    const total = differences.reduce((sum, one) => sum + one, 0);
    const z = -total / Math.sqrt(differences.reduce((sum, one) => sum + one * one, 0) || 1);
    return (oneSided ? normalUpper(z) : 2 * normalUpper(Math.abs(z))) <= alpha;
  });
}
