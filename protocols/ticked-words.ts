import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { chiSquareUpper } from '../stats/distributions';
import { mean } from '../stats/moments';
import { overListeners } from './over-listeners';
import { meanOf, type OwnRatings, ownMean } from './own-ratings';
import type { Outcome } from './protocol';
import type { RatingDetail } from './results';

type Ticked = NonNullable<RatingDetail['ticked']>[number];

/**
 * Share of listeners who ticked a word, by prototype, each listener with the share of his or her times, and whether the
 * prototypes differ at all; of the listeners who said of every prototype whether it fits.
 *
 * With one answer each the test is Cochran's Q (`cochranQ`). With more it is the same statistic of listeners' shares:
 * (k − 1)·n²·Σ(share − mean share)² over Σ of the squares within listeners, χ² with k − 1 degrees of freedom, as it
 * follows from exchanging prototypes within listeners. It needs many listeners and decides nothing.
 */
export function sharesOf(
  rows: readonly OwnRatings[],
  plan: Plan,
  level: number,
): Pick<Ticked, 'listeners' | 'shares' | 'q'> {
  const ids = plan.prototypes.map(({ id }) => id as PrototypeId);
  const complete = rows.filter(({ prototypes }) => ids.every((id) => prototypes.has(id)));
  if (complete.length === 0) return { listeners: 0, shares: [], q: null };
  const sittings = ids.map((id) => complete.map(({ prototypes }) => prototypes.get(id) ?? new Map<number, number[]>()));
  const own = sittings.map((ofAll) => ofAll.map(ownMean));
  const shares = ids.map((prototype, i) => {
    const listeners = (sittings[i] ?? []).map((times, n) => ({
      share: own[i]?.[n] ?? 0,
      trials: [...times.values()].reduce((sum, values) => sum + values.length, 0),
    }));
    const { share: value, lower, upper } = clusteredShareInterval({ listeners, level });
    return { prototype, name: 'ticked', value, lower, upper, level };
  });
  return {
    listeners: complete.length,
    shares,
    q: exchanged(complete.map((_, n) => own.map((ofAll) => ofAll[n] ?? 0))),
  };
}

/** Null where nobody ticks the word more often for one prototype than for another. Rows are listeners. */
export function exchanged(rows: readonly (readonly number[])[]): Ticked['q'] {
  const items = rows[0]?.length ?? 0;
  const within = mean(rows.map((row) => squares(row))) * rows.length;
  if (within < 1e-12) return null;
  const columns = Array.from(
    { length: items },
    (_, item) => mean(rows.map((row) => row[item] as number)) * rows.length,
  );
  const q = ((items - 1) * squares(columns)) / within;
  return { q, degreesOfFreedom: items - 1, p: chiSquareUpper(q, items - 1) };
}

function squares(values: readonly number[]): number {
  const centre = mean(values);
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0);
}

/**
 * How often a listener who heard a sample again said the same of the word as the time before: in one sitting, and, by the
 * first answers of sittings, on another day. Null where nobody heard any again.
 */
export function tickedAgain(rows: readonly OwnRatings[]): NonNullable<Ticked['again']> {
  const samples = rows.flatMap(({ prototypes }) =>
    [...prototypes.values()].map((sittings) => [...sittings].sort(([a], [b]) => a - b).map(([, values]) => values)),
  );
  return {
    withinDay: repeated(samples.flat()),
    acrossDays: repeated(samples.map((sittings) => sittings.map(([first]) => first as number))),
  };
}

/** Each answer of a row beside the one before it. */
function repeated(answers: readonly (readonly number[])[]): { times: number; alike: number } | null {
  const same = answers.flatMap((row) => row.slice(1).map((answer, i) => answer === row[i]));
  return same.length === 0 ? null : { times: same.length, alike: same.filter(Boolean).length };
}

/**
 * How much better a sample is liked when the word was ticked for it than when it wasn't: within each listener, the mean
 * liking of the times when it was ticked less that of the others; then mean, interval and t test over listeners. Whoever
 * ticked it always, or never, has no such difference. It explores: which word goes with liking doesn't say which makes it.
 * @param outcomes of one audience, liking and ticks
 */
export function likedWhenTicked(outcomes: readonly Outcome[], attribute: string, level: number): Ticked['liking'] {
  const liking = new Map(outcomes.filter(({ scale }) => scale === 'liking').map(({ trial, value }) => [trial, value]));
  const sides = new Map<string, { with: number[]; without: number[] }>();
  for (const { scale, trial, listener, value } of outcomes) {
    const liked = liking.get(trial);
    if (scale !== attribute || liked === undefined) continue;
    const own = sides.get(listener) ?? { with: [], without: [] };
    sides.set(listener, own);
    (value === 1 ? own.with : own.without).push(liked);
  }
  const differences = [...sides.values()].flatMap((own) =>
    own.with.length > 0 && own.without.length > 0 ? [meanOf(own.with) - meanOf(own.without)] : [],
  );
  const { estimate: difference, p, listeners } = overListeners('points', differences, level);
  return { difference, p, listeners };
}
