import { fault } from '../fault.mjs';

export const ranking = [
  fault(
    'ranking: the trial as the unit, not the listener',
    'protocols/own-rankings.ts',
    [
      ['byListener.get(listener)', 'byListener.get(trial)'],
      ['byListener.set(listener, own)', 'byListener.set(trial, own)'],
    ],
    'protocols/ranking-null',
    'protocols/ranking-analysis',
  ),
  fault(
    'ranking: pairs as if there were only one',
    'protocols/ranking-analysis.ts',
    [['pAdjusted: corrected[next++] as number', 'pAdjusted: pair.p']],
    'protocols/ranking-analysis',
  ),
  fault(
    'ranking: an order without a pair is a preference',
    'protocols/ranking-analysis.ts',
    [['pAdjusted <= alpha && pairs.some((pair) => pair.pAdjusted <= alpha)', 'pAdjusted <= alpha']],
    'protocols/ranking-analysis',
  ),
  fault(
    'ranking: whole listeners are shuffled where blocks differ',
    'protocols/ranking-tests.ts',
    [['rows.every(({ rankings }) => rankings.length === 1)', 'rows.length > 0']],
    'protocols/ranking-analysis',
  ),
  fault(
    'ranking: one of a pair alone counts though some met more often',
    'protocols/ranking-pairs.ts',
    [['!isComplete(spec, plan) && !isBalanced(rows, plan.prototypes.length)', 'false']],
    'protocols/ranking-analysis',
  ),
  fault(
    'ranking: places and ranks mixed up',
    'protocols/ranking.ts',
    [['order.indexOf(place) + 1', '(order[place] ?? 0) + 1']],
    'protocols/contract',
  ),
  fault(
    'ranking: everybody ranks the first block',
    'protocols/ranking-order.ts',
    [['design[blocks[running % design.length] as number]', 'design[blocks[0] as number]']],
    'protocols/ranking-order',
  ),
  fault(
    'ranking: listeners of a block hear one order',
    'protocols/ranking-order.ts',
    [['const row = (ordinal - 1) % rows;', 'const row = 0;']],
    'protocols/ranking-order',
    'protocols/contract',
  ),
  fault(
    'ranking: tastes shrink the share of the panel',
    'protocols/ranking-tastes.ts',
    [['(truth.worth?.[id] ?? 0) * stretch(sd)', 'truth.worth?.[id] ?? 0']],
    'protocols/ranking-tastes',
  ),
  fault(
    'ranking: arrangements as far out as seen don’t count',
    'stats/panel-order.ts',
    [['return of(sums) >= least ? 1 : 0', 'return of(sums) > least * 1.001 ? 1 : 0']],
    'stats/panel-order',
  ),
];
