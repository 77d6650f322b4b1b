import type { LeastInputs } from './least-input';

export const ratings: LeastInputs = {
  summary: { input: { values: [6, 7] }, spoil: 'level' },
  'paired-t': { input: { first: [6, 7], second: [6, 5] }, spoil: 'alternative' },
  'wilcoxon-signed-rank': { input: { first: [6], second: [5] }, spoil: 'zeros' },
  equivalence: { input: { first: [6, 7], second: [6, 5], margin: 1 }, spoil: 'margin' },
  'anova-blocks': {
    input: {
      scores: [
        [6, 7],
        [5, 8],
      ],
    },
    spoil: 'scores',
  },
  'adjust-p': { input: { p: [0.01, 0.04] }, spoil: 'p' },
  'size-for-means': { input: { standardDeviation: 1, difference: 2 }, spoil: 'standardDeviation' },
  'principal-components': { input: { rows: [[6], [7]] }, spoil: 'rows' },
  'preference-map': { input: { places: [[1], [2], [4]], liking: [[3, 4, 4]] }, spoil: 'liking' },
  'mixed-model': {
    input: { rows: [{ liking: 6 }, { liking: 4 }], response: 'liking', fixed: [], random: [] },
    spoil: 'rows',
  },
  'just-about-right': { input: { liking: [6], level: [0] }, spoil: 'liking' },
  dip: { input: { values: [4, 5, 6, 8] }, spoil: 'samples' },
};
