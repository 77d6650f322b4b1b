import type { LeastInputs } from './least-input';

const rows = [{ first: 'A', second: 'B', firstWins: 3, secondWins: 2 }];

export const preferences: LeastInputs = {
  'paired-preference': { input: { first: 5, second: 3 }, spoil: 'noneRule' },
  'bradley-terry': { input: { items: ['A', 'B'], comparisons: rows }, spoil: 'ties' },
  'circular-triads': {
    input: {
      preferences: [
        [0, 1, 1],
        [0, 0, 1],
        [0, 0, 0],
      ],
    },
    spoil: 'preferences',
  },
  'sign-flip': { input: { perListener: [1, 2, -1] }, spoil: 'permutations' },
  'clustered-share-interval': { input: { listeners: [{ share: 0.5, trials: 2 }] }, spoil: 'level' },
  'listener-bootstrap': { input: { statistic: 'bradley-terry', listeners: [rows, rows] }, spoil: 'method' },
  'preference-power': { input: { listeners: 8, share: 0.8 }, spoil: 'panels' },
  'preference-size': { input: { share: 0.9 }, spoil: 'gamma' },
};
