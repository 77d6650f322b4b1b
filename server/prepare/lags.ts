import { mostLag } from '../audio/align';

/**
 * The two files of an excerpt that begin furthest from each other, where that is further than it may be. Each is held
 * against the first; two that each may be may still be apart from one another.
 *
 * @param lags samples by which each begins later than the first; null where that can't be told
 */
export function furthestApart(
  lags: readonly (number | null)[],
): { early: number; late: number; samples: number } | null {
  const known = lags.flatMap((lag, at) => (lag === null ? [] : [{ lag, at }]));
  const [first] = known;
  if (!first) return null;
  const early = known.reduce((least, one) => (one.lag < least.lag ? one : least), first);
  const late = known.reduce((most, one) => (one.lag > most.lag ? one : most), first);
  const samples = late.lag - early.lag;
  return samples > mostLag ? { early: early.at, late: late.at, samples } : null;
}
