import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { binomialPmf, binomialUpper } from '../stats/binomial';
import { normalQuantile } from '../stats/distributions';
import { alphaEach } from './alpha-each';

/**
 * What power is stated for: assumptions, said wherever power is shown. Each time is as open as a tossed coin but for the
 * difference, so that many tick the word for one sample and not for the other; where listeners tick by habit, fewer do,
 * and the power is higher.
 */
export const assumedTicks = {
  /** Of the variance of one answer, the share that is a listener's own taste and that no repetition averages out. */
  tasteShare: 1 / 3,
} as const;

/** A panel beyond this is asked by nobody. */
const largestPanel = 5_000;

/** How often a listener hears each prototype over all sittings; hidden repeats add nothing to the comparison. */
export const ticksPlanned = ({ method, sessions }: Pick<Plan, 'method' | 'sessions'>): number =>
  ((method.spec as { rounds?: number }).rounds ?? 1) * sessions.count;

/**
 * Share of listeners assumed to tick the word for one of two samples alone. Two tosses of their own with chances
 * ½ ± difference/2 come out unlike in ½(1 + difference²). Of more times the variance of a listener's mean is less:
 * taste, and the rest over the times; that is told by the share of changes which has this variance.
 */
function changingShare(difference: number, times: number): number {
  const once = (1 - difference ** 2) / 2;
  const left = assumedTicks.tasteShare + (1 - assumedTicks.tasteShare) / times;
  return Math.max(Math.abs(difference), difference ** 2 + left * once);
}

/** Of so many who change, how many of one mind show a direction by exact McNemar, two-sided; more than all where none do. */
function critical(changing: number, alpha: number): number {
  const shows = (count: number) => 2 * binomialUpper(count, changing, 0.5) <= alpha;
  let count = Math.min(changing + 1, Math.ceil((changing - normalQuantile(alpha / 2) * Math.sqrt(changing)) / 2));
  while (count <= changing && !shows(count)) count++;
  while (count > 0 && shows(count - 1)) count--;
  return count;
}

/** By α: one a number of listeners who change, as far as they were asked for. */
const known = new Map<number, number[]>();
function criticalOf(changing: number, alpha: number): number {
  const counts = known.get(alpha) ?? [];
  known.set(alpha, counts);
  const found = counts[changing] ?? critical(changing, alpha);
  counts[changing] = found;
  return found;
}

/** Beyond so many standard deviations lies nothing that counts. */
const reach = 9;

/**
 * Chance that exact McNemar over so many listeners, two-sided at that α, shows a difference of the shares who tick a
 * word: exact for one answer each under `assumedTicks`; for several by the variance that is left (see `changingShare`).
 * @param difference of the two shares, 0 … 1
 * @param times that each listener hears each of the two
 */
export function tickedPower(listeners: number, difference: number, times: number, alpha: number): number {
  const changing = changingShare(difference, times);
  const up = changing === 0 ? 0.5 : (changing + difference) / 2 / changing;
  const spread = reach * Math.sqrt(listeners * changing * (1 - changing)) + reach;
  const from = Math.max(0, Math.floor(listeners * changing - spread));
  const to = Math.min(listeners, Math.ceil(listeners * changing + spread));
  let power = 0;
  for (let count = from; count <= to; count++) {
    const needed = criticalOf(count, alpha);
    if (needed > count) continue;
    const shown = binomialUpper(needed, count, up) + binomialUpper(needed, count, 1 - up);
    power += binomialPmf(count, listeners, changing) * shown;
  }
  return Math.min(1, power);
}

/**
 * The fewest listeners who show such a difference with power 1 − β, from whom on a few more don't fall short again: exact
 * power goes up and down a little. Null where more than 5,000 would be needed.
 */
export function tickedSize(difference: number, times: number, alpha: number, beta: number): number | null {
  const holds = (listeners: number) => {
    for (let more = 0; more <= 4; more++) {
      if (tickedPower(listeners + more, difference, times, alpha) < 1 - beta) return false;
    }
    return true;
  };
  let high = 4;
  while (!holds(high)) {
    if (high >= largestPanel) return null;
    high = Math.min(largestPanel, high * 2);
  }
  let low = 1;
  while (low < high) {
    const middle = Math.floor((low + high) / 2);
    if (holds(middle)) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** What a plan of check all that apply can find in one audience. */
export interface TickedFinds {
  audience: AudienceId;
  listeners: number;
  /** Chance to show such a difference of shares; the plan's smallest is among them. */
  power: { ticked: number; power: number; smallest: boolean }[];
  /** Listeners who show the smallest difference worth finding with the planned chance; null where more than 5,000 would. */
  needed: number | null;
  times: number;
  alpha: number;
}

const differences = [0.1, 0.2, 0.3, 0.4, 0.5];

/** What the planned listeners and times can find, by audience, at `alphaEach`, under `assumedTicks`. */
export function tickedFinds(plan: Plan): TickedFinds[] {
  const { beta, smallest } = plan.risks;
  const alpha = alphaEach(plan);
  const times = ticksPlanned(plan);
  const asked = [...new Set([...differences, smallest.value])].sort((a, b) => a - b);
  const needed = tickedSize(smallest.value, times, alpha, beta);
  return plan.audiences.map(({ id, listeners }) => ({
    audience: id as AudienceId,
    listeners,
    power: asked.map((ticked) => ({
      ticked,
      power: tickedPower(listeners, ticked, times, alpha),
      smallest: ticked === smallest.value,
    })),
    needed,
    times,
    alpha,
  }));
}
