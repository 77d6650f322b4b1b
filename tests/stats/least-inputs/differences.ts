import type { LeastInputs } from './least-input';

export const differences: LeastInputs = {
  'binomial-test': { input: { correct: 3, trials: 4 }, spoil: 'correct' },
  'proportion-interval': { input: { correct: 3, trials: 4 }, spoil: 'level' },
  'critical-count': { input: { trials: 12 }, spoil: 'alpha' },
  'similarity-count': { input: { trials: 12, pd: 0.3 }, spoil: 'pd' },
  power: { input: { trials: 12, pd: 0.4 }, spoil: 'pd' },
  'sample-size': { input: { pd: 0.5 }, spoil: 'beta' },
  'similarity-listeners': { input: { listeners: [{ correct: 1, trials: 3 }], pd: 0.3 }, spoil: 'pd' },
  'similarity-size': { input: { pd: 0.5 }, spoil: 'power' },
  distinguishers: { input: { correct: 3, trials: 4 }, spoil: 'level' },
  'd-prime': { input: { method: 'triangle', correct: 3, trials: 4 }, spoil: 'method' },
  'proportion-correct': { input: { method: 'duo-trio', dPrime: 1 }, spoil: 'dPrime' },
  'same-different': {
    input: { differentSaidDifferent: 3, differentPairs: 4, sameSaidDifferent: 1, samePairs: 4 },
    spoil: 'samePairs',
  },
  'a-not-a': { input: { hits: 3, signalTrials: 4, falseAlarms: 1, noiseTrials: 4 }, spoil: 'correction' },
  'stratified-yes': {
    input: { strata: [{ hits: 3, signalTrials: 4, falseAlarms: 1, noiseTrials: 4 }] },
    spoil: 'strata',
  },
  'replicated-difference': { input: { listeners: [{ correct: 3, trials: 4 }] }, spoil: 'chance' },
  mcnemar: { input: { b: 2, c: 1 }, spoil: 'b' },
};
