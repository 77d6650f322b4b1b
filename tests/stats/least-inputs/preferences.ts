import type { LeastInputs } from './least-input';

const rows = [{ first: 'A', second: 'B', firstWins: 3, secondWins: 2 }];
const rankings = [
  [1, 2],
  [2, 1],
];

export const preferences: LeastInputs = {
  'paired-preference': { input: { first: 5, second: 3 }, spoil: 'noneRule' },
  'bradley-terry': { input: { items: ['A', 'B'], comparisons: rows }, spoil: 'ties' },
  'thurstone-case-v': {
    input: {
      items: ['A', 'B'],
      wins: [
        [0, 3],
        [1, 0],
      ],
    },
    spoil: 'wins',
  },
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
  'listener-bootstrap': { input: { statistic: 'bradley-terry', listeners: [rows, rows] }, spoil: 'method' },
  'audience-interaction': {
    input: {
      rows: [
        { listener: 'P1', audience: 'home', value: 1 },
        { listener: 'P2', audience: 'stage', value: 2 },
      ],
    },
    spoil: 'permutations',
  },
  'coefficient-of-agreement': {
    input: {
      wins: [
        [0, 2],
        [1, 0],
      ],
      listeners: 3,
    },
    spoil: 'listeners',
  },
  friedman: { input: { scores: rankings }, spoil: 'scores' },
  page: { input: { scores: rankings }, spoil: 'order' },
  'rank-differences': { input: { scores: rankings, method: 'nemenyi' }, spoil: 'method' },
  durbin: { input: { scores: rankings }, spoil: 'higherIsBetter' },
  'cochran-q': {
    input: {
      answers: [
        [1, 0],
        [1, 1],
      ],
    },
    spoil: 'answers',
  },
  'clustered-share-interval': { input: { listeners: [{ share: 0.5, trials: 2 }] }, spoil: 'level' },
  'preference-power': { input: { listeners: 8, share: 0.8 }, spoil: 'panels' },
  'preference-size': { input: { share: 0.9 }, spoil: 'gamma' },
};
