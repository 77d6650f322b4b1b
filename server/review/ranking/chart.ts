import type { RankingFindings } from '../../../shared/findings-ranking';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import type { Chart } from '../chart';
import { intervalChart } from '../interval-chart';
import { nameIn, placeIn } from '../plan-names';
import { groupsCaption, placesOf } from '../told-apart';

/** Mean ranks with their intervals, the best on top, over all ranks that a ranking has. Null without rankings. */
export function rankingChart({ ranks, size, level, rankings, groups }: RankingFindings, plan: Plan): Chart | null {
  if (rankings === 0) return null;
  const [name, place] = [nameIn(plan), placeIn(plan)];
  const rows = ranks.map(({ prototype, meanRank, lower, upper }) => ({
    name: name(prototype),
    value: meanRank,
    lower,
    upper,
    place: place(prototype),
  }));
  const order = ranks.map(({ prototype }) => prototype);
  const together = order.length < 3 ? [] : groups.filter((group) => group.length > 1);
  const without = ranks.some(({ lower }) => lower === null);
  return {
    svg: intervalChart(rows, {
      label: size < plan.prototypes.length ? `Mean rank among ${size}` : 'Mean rank',
      mark: { at: (size + 1) / 2, words: 'middle rank' },
      // A little wider than the ranks, so that no symbol touches a name.
      domain: [1 - (size - 1) * 0.04, size + (size - 1) * 0.04],
      ticks: Array.from({ length: size }, (_, i) => i + 1),
      ends: ['best', 'last'],
      groups: placesOf(together, order),
    }),
    caption: `Mean ranks over listeners with their ${chosenPercent(level)} intervals${without ? ', where listeners differed' : ''}. They may overlap where two are told apart: the table of pairs says which are.${groupsCaption(together, plan)}`,
  };
}
