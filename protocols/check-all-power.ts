import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { binomialPmf, binomialUpper } from '../stats/binomial';
import { normalQuantile } from '../stats/distributions';
import { preferencePower } from '../stats/preference-power';
import { mostListeners, preferenceSize } from '../stats/preference-size';
import { alphaEach } from './alpha-each';
import { assumedTasteSpread, mostRepeats } from './paired-preference-analysis';

/**
 * What a check of all words can find, in shares of listeners. Power is stated for listeners of whom each ticks the word
 * for the one sample with a chance x of their own and for the other with 1 − x, x being beta-distributed about
 * ½ + half of the difference with γ = 0.3 (`assumedTasteSpread`): an assumption, said wherever power is shown. So more
 * change from one sample to the other than where listeners tick by habit, whatever they hear: then the power is higher.
 *
 * Two such answers are two choices for or against the first, so that T times of both samples are 2·T choices, and power
 * and size are those of a preference with that many (`preferencePower`); of one time each exact, by McNemar's test.
 */

/** How often a listener hears each prototype over all sittings; hidden repeats add nothing to the comparison. */
export const ticksPlanned = ({ method, sessions }: Pick<Plan, 'method' | 'sessions'>): number =>
  ((method.spec as { rounds?: number }).rounds ?? 1) * sessions.count;

const design = (difference: number, times: number, alpha: number) => ({
  share: (1 + difference) / 2,
  repeats: Math.min(mostRepeats, 2 * times),
  gamma: assumedTasteSpread,
  alpha,
  seed: 1,
});

/**
 * Chance that so many listeners show a difference of the shares that tick a word, two-sided at that α.
 * @param difference of the two shares, 0 to below 1
 * @param times that each listener hears each of the two; from two on power is simulated, good to about a point
 */
export function tickedPower(listeners: number, difference: number, times: number, alpha: number): number {
  if (listeners < 1) return 0;
  if (times === 1) return exactPower(listeners, difference, alpha);
  return remembered('power', [listeners, difference, times, alpha], () => {
    return preferencePower({ ...design(difference, times, alpha), listeners }).power;
  });
}

/**
 * The fewest listeners who show such a difference with power 1 − β, of one time each those from whom on a few more don't
 * fall short again: exact power goes up and down a little. Null where it takes more than 5,000, or 400 with several times.
 */
export function tickedSize(difference: number, times: number, alpha: number, beta: number): number | null {
  return remembered('size', [difference, times, alpha, beta], () =>
    times === 1
      ? exactSize(difference, alpha, beta)
      : preferenceSize({ ...design(difference, times, alpha), beta }).listeners,
  );
}

/** Power depends on the design alone, and is asked for again and again when plans are simulated. */
const memory = new Map<string, number | null>();
function remembered<T extends number | null>(what: string, key: readonly number[], compute: () => T): T {
  const address = [what, ...key].join(' ');
  if (!memory.has(address)) memory.set(address, compute());
  return memory.get(address) as T;
}

/** Beyond so many standard deviations lies nothing that counts. */
const reach = 9;

/** All panels of McNemar's exact test: how many change, and how many of those one way. */
function exactPower(listeners: number, difference: number, alpha: number): number {
  const changing = difference ** 2 + ((1 - difference ** 2) * (1 + assumedTasteSpread)) / 2;
  const up = (1 + difference / changing) / 2;
  const spread = reach * Math.sqrt(listeners * changing * (1 - changing)) + reach;
  const to = Math.min(listeners, Math.ceil(listeners * changing + spread));
  let power = 0;
  for (let count = Math.max(0, Math.floor(listeners * changing - spread)); count <= to; count++) {
    const needed = criticalOf(count, alpha);
    if (needed > count) continue;
    const shown = binomialUpper(needed, count, up) + binomialUpper(needed, count, 1 - up);
    power += binomialPmf(count, listeners, changing) * shown;
  }
  return Math.min(1, power);
}

/** Panels beyond these are asked by nobody: of one time each, where sizes are exact, and of several. */
const largestPanel = 5_000;
export const tickedSizeMost = (times: number): number => (times === 1 ? largestPanel : mostListeners);
const onward = 4;

function exactSize(difference: number, alpha: number, beta: number): number | null {
  const holds = (listeners: number) => {
    for (let more = 0; more <= onward; more++) {
      if (exactPower(listeners + more, difference, alpha) < 1 - beta) return false;
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

/** What a plan of check all that apply can find in one audience. */
export interface TickedFinds {
  audience: AudienceId;
  listeners: number;
  /** Chance to show such a difference of shares; the plan's smallest is among them. */
  power: { ticked: number; power: number; smallest: boolean }[];
  /** Listeners who show the smallest difference worth finding with the planned chance; null where too many would. */
  needed: number | null;
  times: number;
  alpha: number;
}

export const tickedDifferences = [0.1, 0.2, 0.3, 0.4, 0.5] as const;

/** What the planned listeners and times can find, by audience, at `alphaEach`. */
export function tickedFinds(plan: Plan): TickedFinds[] {
  const { beta, smallest } = plan.risks;
  const alpha = alphaEach(plan);
  const times = ticksPlanned(plan);
  const asked = [...new Set([...tickedDifferences, smallest.value])].sort((a, b) => a - b);
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
