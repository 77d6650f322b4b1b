import { fault } from '../fault.mjs';

export const designs = [
  fault(
    'williams-square: an odd number of items without the mirror images',
    'stats/williams-square.ts',
    [['items.length % 2 === 0 ? rows', 'items.length > 0 ? rows']],
    'stats/williams-square',
  ),
  fault(
    'williams-square: a row that steps one way only',
    'stats/williams-row.ts',
    [['place % 2 === 1 ? (place + 1) / 2', 'place % 2 === 1 ? place']],
    'stats/williams-row',
    'stats/williams-square',
  ),
  fault(
    'incomplete-blocks: blocks turned one short',
    'stats/balanced-design.ts',
    [['turn < cycle;', 'turn < cycle - 1;']],
    'stats/balanced-design',
  ),
  fault(
    'incomplete-blocks: short turns counted more than once',
    'stats/balanced-design.ts',
    [['if (seen.has(name)) break;', '']],
    'stats/balanced-design',
  ),
  fault(
    'incomplete-blocks: one wrong entry in a stored design',
    'stats/base-blocks.ts',
    [["'37/9': '37: 0 1", "'37/9': '37: 0 2"]],
    'stats/balanced-design',
  ),
  fault(
    'incomplete-blocks: lambda taken as replications over items',
    'stats/incomplete-blocks.ts',
    [['/ (items.length - 1) };', '/ items.length };']],
    'stats/incomplete-blocks',
  ),
  fault(
    'incomplete-blocks: places within blocks left to chance',
    'stats/even-places.ts',
    [['if (used % places === 0)', 'if (used % (2 * places) === 0)']],
    'stats/even-places',
  ),
  fault(
    'order-balance: carry-over read backwards',
    'stats/order-balance.ts',
    [['add(carryOverCounts, rows[place - 1] as number, row)', 'add(carryOverCounts, row, rows[place - 1] as number)']],
    'stats/order-balance',
  ),
  fault(
    'order-balance: the diagonal taken into the imbalance',
    'stats/order-balance.ts',
    [['filter((_, j) => j !== i)', 'filter((_, j) => j >= 0)']],
    'stats/order-balance',
  ),
];
