import { fault } from '../fault.mjs';

export const inOrders = [
  fault(
    'in orders: one order for a whole sitting',
    'protocols/dealt-orders.ts',
    [['randomness)[history.length - 1] as number', 'randomness)[0] as number']],
    'protocols/asked-in-orders',
  ),
  fault(
    'in orders: all listeners of a block hear the same',
    'protocols/dealt-orders.ts',
    [['dealt.orders[(seat.ordinal - 1) % listeners]', 'dealt.orders[0]']],
    'protocols/asked-in-orders',
    'protocols/contract',
  ),
  fault(
    'in orders: what was drawn for one sitting is taken for another',
    'protocols/dealt-orders.ts',
    [['if (dealt?.address !== address) {', 'if (!dealt) {']],
    'protocols/asked-in-orders',
  ),
  fault(
    'in orders: a trial put again in the order that was spoilt',
    'protocols/dealt-orders.ts',
    [["anyOrder(orders, own.at('again', again.ordinal))", '[...again.spoilt.presentations]']],
    'protocols/asked-in-orders',
  ),
  fault(
    'triangle: a sample that is there twice is the odd one',
    'protocols/triangle.ts',
    [['=== presentations[place - 1]).length === 1', '=== presentations[place - 1]).length === 2']],
    'protocols/contract',
  ),
  fault(
    'duo-trio: the constant reference is whichever stands first in the plan',
    'protocols/two-samples.ts',
    [['ids.find((id) => id === primary.first)', 'ids[0]']],
    'protocols/asked-in-orders',
  ),
  fault(
    '2-AFC: a known difference counts as the one that has less',
    'protocols/attribute.ts',
    [["trial.control === 'knownDifference'", "trial.control === 'units'"]],
    'protocols/ears',
  ),
  fault(
    'two out of five: two of the three count as the pair',
    'protocols/two-out-of-five.ts',
    [['presentations.filter((one) => one === two).length === 2', 'presentations.length === samples']],
    'protocols/contract',
  ),
  fault(
    'ears: impressions half as far apart',
    'protocols/ears.ts',
    [['one === more ? dPrime : 0', 'one === more ? dPrime / 2 : 0']],
    'protocols/ears',
  ),
  fault(
    'similarity: told by the test for a difference',
    'protocols/right-answers.ts',
    [["if (plan.aim === 'similarity') return", "if (plan.aim === 'profile') return"]],
    'protocols/similar-answers',
    'protocols/contract',
  ),
  fault(
    'similarity: audiences not corrected for each other',
    'protocols/similar-answers.ts',
    [['const corrected = holm(audiences.map(({ p }) => p))', 'const corrected = audiences.map(({ p }) => p)']],
    'protocols/similar-answers',
  ),
];
