import type { LeastInputs } from './least-input';

const rows = ['P1', 'P2'].flatMap((listener) =>
  ['A', 'B'].flatMap((item) =>
    [1, 2].map((replicate) => ({
      listener,
      item,
      replicate,
      score: listener === 'P1' && item === 'A' ? replicate : 3,
    })),
  ),
);
const table = [
  [1, 2],
  [3, 5],
];

export const consistency: LeastInputs = {
  icc: { input: { ratings: table }, spoil: 'level' },
  'cohen-kappa': { input: { first: ['a', 'b'], second: ['a', 'a'] }, spoil: 'weights' },
  'fleiss-kappa': {
    input: {
      counts: [
        [2, 0],
        [1, 1],
      ],
    },
    spoil: 'counts',
  },
  'krippendorff-alpha': { input: { ratings: table, level: 'ordinal' }, spoil: 'level' },
  'cronbach-alpha': { input: { scores: table }, spoil: 'scores' },
  retest: { input: { first: [1, 2], second: [1, 3] }, spoil: 'second' },
  'panel-performance': { input: { rows }, spoil: 'rows' },
  correlation: { input: { first: [1, 2, 4], second: [1, 3, 2] }, spoil: 'method' },
};
