import type { ListenerId } from '../shared/brands';
import { cohenKappa } from '../stats/cohen-kappa';
import { holm } from './holm';
import { wherePossible } from './over-listeners';
import { ownRatings } from './own-ratings';
import type { Outcome } from './protocol';
import type { RatingDetail } from './results';

export interface OwnTicks {
  listener: ListenerId;
  ticks: number;
  asked: number;
  repeated: number;
  alike: number;
  kappa: number | null;
}

/**
 * How steadily each listener ticks words: of every sample that was heard again, the answer beside the one before it, and
 * Cohen's kappa of the two (what would be alike by chance taken off). Only words by which the panel as a whole tells
 * prototypes apart count: their Q, corrected over words by Holm, at `alpha`.
 * @param ticked what the audience ticked
 * @returns null where no word tells; kappa is null where nothing was heard again, or one and the same was said throughout
 */
export function ticksByListener(
  outcomes: readonly Outcome[],
  ticked: NonNullable<RatingDetail['ticked']>,
  alpha: number,
): { words: string[]; listeners: OwnTicks[] } | null {
  const adjusted = holm(ticked.map(({ q }) => q?.p ?? null));
  const words = ticked.flatMap(({ attribute }, i) => ((adjusted[i] ?? 1) <= alpha ? [attribute] : []));
  if (words.length === 0) return null;
  const own = new Map<ListenerId, number[][]>();
  for (const word of words) {
    for (const { listener, prototypes } of ownRatings(outcomes, word)) {
      const series = own.get(listener) ?? [];
      own.set(listener, series);
      for (const sittings of prototypes.values()) {
        series.push([...sittings].sort(([a], [b]) => a - b).flatMap(([, values]) => values));
      }
    }
  }
  return {
    words,
    listeners: [...own]
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([listener, series]) => ({ listener, ...steady(series) })),
  };
}

function steady(series: readonly (readonly number[])[]): Omit<OwnTicks, 'listener'> {
  const said = series.flat();
  const again = series.flatMap((values) => values.slice(1).map((value, i) => [values[i] as number, value] as const));
  const [first, second] = [again.map(([one]) => one), again.map(([, other]) => other)];
  return {
    ticks: said.reduce((sum, value) => sum + value, 0),
    asked: said.length,
    repeated: again.length,
    alike: again.filter(([one, other]) => one === other).length,
    kappa: wherePossible(() => cohenKappa({ first, second }).kappa),
  };
}
