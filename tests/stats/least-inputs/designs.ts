import type { LeastInputs } from './least-input';

export const designs: LeastInputs = {
  'williams-square': { input: { items: ['A', 'B'] }, spoil: 'items' },
  'incomplete-blocks': { input: { items: ['A', 'B', 'C'], perBlock: 2 }, spoil: 'perBlock' },
  'order-balance': { input: { orders: [['A']] }, spoil: 'orders' },
};
