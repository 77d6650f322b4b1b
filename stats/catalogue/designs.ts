import { z } from 'zod';
import { incompleteBlocks } from '../incomplete-blocks';
import { orderBalance } from '../order-balance';
import { williamsSquare } from '../williams-square';
import { call, type StatCall } from './call';
import { item, items, seed } from './pieces';

/** In which order, and who hears what? */
export const designs: readonly StatCall[] = [
  call(
    'williams-square',
    'Orders in which every item has every place and follows every other equally often',
    z.strictObject({ items, seed }),
    williamsSquare,
  ),
  call(
    'incomplete-blocks',
    'Balanced sittings where there are more items than one sitting holds',
    z.strictObject({ items: items.min(3), perBlock: z.int().min(2).describe('fewer than there are items'), seed }),
    incompleteBlocks,
  ),
  call(
    'order-balance',
    'Counts of how evenly orders spread the items over places and neighbours',
    z.strictObject({
      orders: z
        .array(
          z
            .array(z.union([item, z.number()]))
            .min(1)
            .max(1000),
        )
        .min(1)
        .max(100_000)
        .describe('one list a listener, the first heard first'),
    }),
    orderBalance,
  ),
];
