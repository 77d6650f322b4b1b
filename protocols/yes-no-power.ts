import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { crossing } from '../stats/crossing';
import { binomialPmf, normalQuantile, normalUpper } from '../stats/distributions';
import { seededRandom } from '../stats/seeded-random';
import { momentsOfHits, stratifiedUpper, type YesCounts } from '../stats/stratified-yes';
import { alphaEach } from './alpha-each';
import type { YesNoDetail } from './results';
import type { YesNoMethod } from './yes-no-counts';
import { ratesAt } from './yes-no-distance';

/** True distances for which the risk of a miss is told, beside the one that the plan is after. */
const distances = [0.5, 1, 1.5, 2, 3];

/** Simulated panels: a chance of one half is told to about a point. */
const panels = 2_000;

/** From such a variance of the hits on the law of large numbers errs by less than so many simulated panels do. */
const many = 25;

/** Beyond so many listeners nobody plans. */
const mostListeners = 2_000;

/** Trials of both kinds in one sitting. */
export type SittingSize = Pick<YesCounts, 'signalTrials' | 'noiseTrials'>;

const remembered = new Map<string, number>();

/**
 * Chance that these sittings find a difference of that distance, by the test that decides (`stats/stratified-yes.ts`):
 * of few answers by simulated panels, the same for the same question; of many by the normal law of the sum over sittings.
 *
 * Every listener has the same distance and the criterion that is right most often. Who is readier or slower to say yes
 * than that finds less; and where some hear nothing a panel may happen to hold few who do.
 * @param alpha what the audience is tested at
 */
export function yesNoPower(
  method: YesNoMethod,
  sittings: readonly SittingSize[],
  alpha: number,
  dPrime: number,
): number {
  const kinds = kindsOf(method, sittings, dPrime);
  if (variesBy(kinds) >= many) return byNormalLaw(kinds, alpha);
  const key = JSON.stringify([method, kinds.map(({ times, size }) => [times, size]), alpha, dPrime]);
  const known = remembered.get(key);
  if (known !== undefined) return known;
  const found = bySimulation(kinds, alpha);
  if (remembered.size >= 1_000) remembered.clear();
  remembered.set(key, found);
  return found;
}

/** Sittings of one size. */
interface Kind {
  times: number;
  size: SittingSize;
  /** Probabilities of so many hits, and of so many false alarms. */
  hits: number[];
  falseAlarms: number[];
}

function kindsOf(method: YesNoMethod, sittings: readonly SittingSize[], dPrime: number): Kind[] {
  const { hit, falseAlarm } = ratesAt(method, dPrime);
  const kinds = new Map<string, Kind>();
  for (const { signalTrials, noiseTrials } of sittings) {
    const name = `${signalTrials} ${noiseTrials}`;
    const own = kinds.get(name);
    if (own) own.times++;
    else {
      const size = { signalTrials, noiseTrials };
      kinds.set(name, {
        times: 1,
        size,
        hits: counts(signalTrials, hit),
        falseAlarms: counts(noiseTrials, falseAlarm),
      });
    }
  }
  return [...kinds].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, kind]) => kind);
}

const counts = (trials: number, share: number): number[] =>
  Array.from({ length: trials + 1 }, (_, count) => binomialPmf(count, trials, share));

/** Of one sitting: hits beyond what its yes answers bring by chance, on average; how they vary; and how they would by chance. */
interface Beyond {
  mean: number;
  variance: number;
  byChance: number;
}

function beyondChance({ size, hits, falseAlarms }: Kind): Beyond {
  let [mean, squares, byChance] = [0, 0, 0];
  hits.forEach((hitChance, hit) => {
    falseAlarms.forEach((alarmChance, alarm) => {
      const { expected, variance } = momentsOfHits([{ ...size, hits: hit, falseAlarms: alarm }]);
      const weight = hitChance * alarmChance;
      mean += weight * (hit - expected);
      squares += weight * (hit - expected) ** 2;
      byChance += weight * variance;
    });
  });
  return { mean, variance: squares - mean ** 2, byChance };
}

const summed = (kinds: readonly Kind[], of: (beyond: Beyond) => number): number =>
  kinds.reduce((sum, kind) => sum + kind.times * of(beyondChance(kind)), 0);

const variesBy = (kinds: readonly Kind[]): number => summed(kinds, ({ byChance }) => byChance);

function byNormalLaw(kinds: readonly Kind[], alpha: number): number {
  const needed = 0.5 - normalQuantile(alpha) * Math.sqrt(variesBy(kinds));
  return normalUpper(
    (needed - summed(kinds, ({ mean }) => mean)) / Math.sqrt(summed(kinds, ({ variance }) => variance)),
  );
}

/** What one sitting may come to, with the probabilities of all that comes before it and of itself. */
interface Cell {
  upTo: number;
  counts: YesCounts;
  /** Hits beyond those that so many yes answers bring by chance. */
  beyond: number;
  variance: number;
}

function cellsOf({ size, hits, falseAlarms }: Kind): Cell[] {
  let upTo = 0;
  return hits.flatMap((hitChance, hit) =>
    falseAlarms.map((alarmChance, alarm): Cell => {
      const counts = { ...size, hits: hit, falseAlarms: alarm };
      const { expected, variance } = momentsOfHits([counts]);
      upTo += hitChance * alarmChance;
      return { upTo, counts, beyond: hit - expected, variance };
    }),
  );
}

/** Normal tails that are so many times α or so small a part of it need not be looked at exactly. */
const farFrom = 2;

function bySimulation(kinds: readonly Kind[], alpha: number): number {
  const random = seededRandom('yes and no');
  const drawn = kinds.map((kind) => ({ times: kind.times, cells: cellsOf(kind) }));
  let found = 0;
  for (let panel = 0; panel < panels; panel++) {
    const strata: YesCounts[] = [];
    let [beyond, variance] = [0, 0];
    for (const { times, cells } of drawn) {
      for (let i = 0; i < times; i++) {
        const cell = cellAt(cells, random.uniform());
        strata.push(cell.counts);
        beyond += cell.beyond;
        variance += cell.variance;
      }
    }
    const rough = variance < 4 ? alpha : normalUpper((beyond - 0.5) / Math.sqrt(variance));
    if (rough <= alpha / farFrom || (rough < alpha * farFrom && stratifiedUpper(strata) <= alpha)) found++;
  }
  return found / panels;
}

/** The cell in which a uniform number falls, by halving. */
function cellAt(cells: readonly Cell[], at: number): Cell {
  let [low, high] = [0, cells.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (at < (cells[middle] as Cell).upTo) high = middle;
    else low = middle + 1;
  }
  return cells[low] as Cell;
}

/** Chance that so many trials miss a difference, at several true distances, from the hardest to the easiest. */
export function yesNoMisses(
  method: YesNoMethod,
  sittings: readonly SittingSize[],
  alpha: number,
  planned: number,
): YesNoDetail['misses'] {
  return [...new Set([...distances, planned])]
    .sort((a, b) => a - b)
    .map((dPrime) => ({ dPrime, miss: 1 - yesNoPower(method, sittings, alpha, dPrime) }));
}

const trialsOf = (plan: Plan): number => (plan.method.spec as { trials: number }).trials;

/** The sittings of so many listeners, when none is missed or lost. */
export function sittingsPlanned(plan: Plan, listeners: number): SittingSize[] {
  const half = trialsOf(plan) / 2;
  return Array.from({ length: listeners * plan.sessions.count }, () => ({ signalTrials: half, noiseTrials: half }));
}

/**
 * The fewest listeners of one audience that find the planned difference at the planned risks, as far as simulation tells
 * them from their neighbours.
 * @returns null where 2,000 would not do
 */
export function yesNoNeeded(method: YesNoMethod, plan: Plan): { trials: number; listeners: number } | null {
  const { beta, smallest } = plan.risks;
  const alpha = alphaEach(plan);
  const power = (listeners: number): number =>
    yesNoPower(method, sittingsPlanned(plan, listeners), alpha, smallest.value);
  const [one] = kindsOf(method, sittingsPlanned(plan, 1), smallest.value);
  if (!one) return null;
  // From where the normal law says it is enough, which few simulated panels settle.
  const nearly = (listeners: number): number =>
    byNormalLaw([{ ...one, times: listeners * plan.sessions.count }], alpha);
  if (nearly(mostListeners) < 1 - beta) return null;
  let listeners = Math.max(1, Math.ceil(crossing(0, mostListeners, (x) => nearly(x) >= 1 - beta)));
  while (listeners > 1 && power(listeners - 1) >= 1 - beta) listeners--;
  while (power(listeners) < 1 - beta) listeners++;
  return { listeners, trials: listeners * trialsOf(plan) * plan.sessions.count };
}

/** What a study of that size can find. */
export interface YesNoFinds {
  /** What one audience is sure to be tested at. */
  alpha: number;
  /** Scored trials of one listener over all sittings. */
  trialsEach: number;
  audiences: {
    audience: AudienceId;
    listeners: number;
    trials: number;
    /** Chance of finding the planned difference. */
    power: number;
    misses: YesNoDetail['misses'];
  }[];
  /** For each audience, since all are after the same difference. */
  needed: { trials: number; listeners: number } | null;
}

/** Power of a planned study, for each audience apart, at the α that is left when another audience shows nothing. */
export function yesNoFinds(method: YesNoMethod, plan: Plan): YesNoFinds {
  const alpha = alphaEach(plan);
  const planned = plan.risks.smallest.value;
  const trialsEach = trialsOf(plan) * plan.sessions.count;
  return {
    alpha,
    trialsEach,
    audiences: plan.audiences.map(({ id, listeners }) => {
      const sittings = sittingsPlanned(plan, listeners);
      return {
        audience: id as AudienceId,
        listeners,
        trials: listeners * trialsEach,
        power: yesNoPower(method, sittings, alpha, planned),
        misses: yesNoMisses(method, sittings, alpha, planned),
      };
    }),
    needed: yesNoNeeded(method, plan),
  };
}
