import { similarityP } from '../../protocols/similarity';
import { ownShare } from '../../protocols/virtual-listener';
import { binomialPmf, tQuantile } from '../../stats/distributions';
import { StatsError } from '../../stats/errors';
import { replicatedDifference } from '../../stats/replicated-difference';
import { seededRandom } from '../../stats/seeded-random';
import { mostRight } from '../../stats/similarity-listeners';

/**
 * How often "similar" is said falsely, where the difference is heard just as often as the limit: by the rule that
 * decides, and by two that it was chosen over; then the panels that are worst for it, looked for.
 * `node tests/bench/bench.mjs similarity`, some minutes.
 */

type Counts = { correct: number; trials: number }[];

const beta = 0.05;
const random = seededRandom(6);
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 30 : 14)).join(''));

function panel(listeners: number, trials: number, chance: number, limit: number, gamma: number): Counts {
  return Array.from({ length: listeners }, () => {
    const right = chance + (1 - chance) * ownShare(limit, gamma, random);
    let correct = 0;
    for (let i = 0; i < trials; i++) if (random.uniform() < right) correct++;
    return { correct, trials };
  });
}

/** Profile likelihood of the chance-corrected beta-binomial: its one-sided limit below the one of the plan. */
function byProfile(counts: Counts, chance: number, limit: number): boolean {
  try {
    return replicatedDifference({ listeners: counts, chance, level: 1 - 2 * beta }).chanceCorrected.upper < limit;
  } catch (error) {
    if (error instanceof StatsError && error.code === 'not-converged') return false;
    throw error;
  }
}

/** A one-sided t limit over listeners' own shares heard. */
function byT(counts: Counts, chance: number, limit: number): boolean {
  const own = counts.map(({ correct, trials }) => (correct / trials - chance) / (1 - chance));
  const mean = own.reduce((sum, one) => sum + one, 0) / own.length;
  const variance = own.reduce((sum, one) => sum + (one - mean) ** 2, 0) / (own.length - 1);
  return mean + tQuantile(1 - beta, own.length - 1) * Math.sqrt(variance / own.length) < limit;
}

const panels = 10_000;
const fewer = 500;
const worst = { rule: 0, profile: 0, t: 0 };
line(`heard at the limit, β ${beta}`, 'panel', 'this rule', 'profile', 't');
for (const [chance, limit] of [
  [1 / 3, 0.3],
  [1 / 2, 0.2],
] as const) {
  for (const [words, gamma] of [
    ['all alike', 0],
    ['between', 0.3],
    ['far apart', 0.7],
    ['always or never', 1],
  ] as const) {
    for (const [listeners, trials] of [
      [6, 12],
      [12, 4],
      [12, 12],
      [24, 2],
      [24, 8],
      [60, 2],
      [60, 12],
    ] as const) {
      const shown = { rule: 0, profile: 0, t: 0 };
      for (let i = 0; i < panels; i++) {
        const counts = panel(listeners, trials, chance, limit, gamma);
        if ((similarityP(counts, chance, limit) ?? 1) <= beta) shown.rule++;
        if (byT(counts, chance, limit)) shown.t++;
        if (i < fewer && byProfile(counts, chance, limit)) shown.profile++;
      }
      const shares = { rule: shown.rule / panels, profile: shown.profile / fewer, t: shown.t / panels };
      for (const name of ['rule', 'profile', 't'] as const) worst[name] = Math.max(worst[name], shares[name]);
      line(
        `${limit} at 1/${Math.round(1 / chance)}, ${words}`,
        `${listeners}×${trials}`,
        percent(shares.rule),
        percent(shares.profile),
        percent(shares.t),
      );
    }
  }
}
line('most', '', percent(worst.rule), percent(worst.profile), percent(worst.t));

/**
 * The worst panel there can be: shares of listeners on a grid, with the limit as their mean, under which the rule says
 * "similar" most often. That is a polynomial in the shares; it is climbed by steps towards the two shares that promise
 * most, from several starts.
 */
const steps = 50;
const grid = Array.from({ length: steps + 1 }, (_, i) => i / steps);

function added(a: readonly number[], b: readonly number[]): number[] {
  const out = new Array<number>(a.length + b.length - 1).fill(0);
  for (let i = 0; i < a.length; i++) {
    for (let j = 0; j < b.length; j++) out[i + j] = (out[i + j] as number) + (a[i] as number) * (b[j] as number);
  }
  return out;
}

function times(one: readonly number[], n: number): number[] {
  let [out, power, left] = [[1], [...one], n];
  for (;;) {
    if (left % 2 === 1) out = added(out, power);
    left = Math.floor(left / 2);
    if (left === 0) return out;
    power = added(power, power);
  }
}

function worstPanel(listeners: number, trials: number, chance: number, limit: number, risk: number): number {
  const most = mostRight([{ listeners, trials }], chance, limit, risk);
  if (most === null) return 0;
  const rights = grid.map((heard) =>
    Array.from({ length: trials + 1 }, (_, k) => binomialPmf(k, trials, chance + (1 - chance) * heard)),
  );
  const mixed = (weights: readonly number[]) =>
    Array.from({ length: trials + 1 }, (_, k) =>
      weights.reduce((sum, w, g) => sum + w * (rights[g]?.[k] as number), 0),
    );
  const said = (weights: readonly number[]) =>
    times(mixed(weights), listeners)
      .slice(0, most + 1)
      .reduce((sum, p) => sum + p, 0);
  const towards = (weights: readonly number[]): number[] => {
    let sum = 0;
    const upTo = times(mixed(weights), listeners - 1).map((p) => (sum += p));
    const promise = rights.map((own) =>
      own.reduce(
        (total, p, k) => total + (most - k < 0 ? 0 : p * (upTo[Math.min(most - k, upTo.length - 1)] as number)),
        0,
      ),
    );
    let best = { value: -1, low: 0, high: 0, weight: 0 };
    for (let low = 0; low <= limit * steps + 1e-9; low++) {
      for (let high = Math.max(low + 1, Math.ceil(limit * steps - 1e-9)); high <= steps; high++) {
        const weight = (limit * steps - low) / (high - low);
        const value = (1 - weight) * (promise[low] as number) + weight * (promise[high] as number);
        if (value > best.value) best = { value, low, high, weight };
      }
    }
    return grid.map((_, g) => (g === best.low ? 1 - best.weight : g === best.high ? best.weight : 0));
  };
  const two = (share: number): number[] =>
    grid.map((_, g) => (g === 0 ? 1 - limit / share : g === Math.round(share * steps) ? limit / share : 0));
  const starts = [1, 0.9, 0.8, 0.7, 0.6, 0.5].filter((share) => share > limit).map(two);
  starts.push(grid.map((heard) => (Math.abs(heard - limit) < 1e-9 ? 1 : 0)));
  let worstOfAll = 0;
  for (let weights of starts) {
    let value = said(weights);
    for (let round = 0; round < 20; round++) {
      const goal = towards(weights);
      const tries = [0.03, 0.1, 0.25, 0.5, 1].map((step) => {
        const moved = weights.map((w, g) => (1 - step) * w + step * (goal[g] as number));
        return { moved, value: said(moved) };
      });
      const next = tries.reduce((a, b) => (b.value > a.value ? b : a));
      if (next.value <= value + 1e-9) break;
      ({ moved: weights, value } = next);
    }
    worstOfAll = Math.max(worstOfAll, value);
  }
  return worstOfAll;
}

console.log();
line('worst panel found', 'designs', 'most of β', 'beyond β');
for (const chance of [1 / 2, 1 / 3, 1 / 10]) {
  for (const risk of [0.05, 0.1, 0.2]) {
    let [designs, share, beyond] = [0, 0, 0];
    for (const limit of [0.1, 0.2, 0.3, 0.4, 0.5]) {
      for (const listeners of [1, 2, 3, 4, 6, 8, 12, 16, 24, 40, 60]) {
        for (const trials of [1, 2, 3, 4, 6, 8, 12, 24, 40]) {
          if (listeners * trials > 720) continue;
          const found = worstPanel(listeners, trials, chance, limit, risk);
          designs++;
          share = Math.max(share, found / risk);
          if (found > risk * (1 + 1e-6)) beyond++;
        }
      }
    }
    line(`chance 1/${Math.round(1 / chance)}, β ${risk}`, String(designs), share.toFixed(4), String(beyond));
  }
}
