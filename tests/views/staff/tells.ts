import { tellCautions, tellsPart } from '../../../server/review/tells/page';
import type { VerdictPage } from '../../../server/review/view-models';
import type { TellsFindings, TellTest } from '../../../shared/findings-tells';
import { aPlan } from '../../blinding/a-plan';

const plan = aPlan({ prototypes: 3, names: ['Wide vent', 'Closed bore', 'Felt damper'], audiences: [['home', 20]] });

const look = (of: TellTest['of'], by: TellTest['by'], p: number | null, values: number[]): TellTest => ({
  of,
  by,
  n: values.length > 0 ? 180 : 20,
  statistic: values[0] ?? 0.4,
  p,
  permutations: null,
  couldFind: p !== null,
  reason: p === null ? (by === 'hour' ? 'one-session' : 'one-operator') : null,
  detail: values.map((value, i) => ({ group: of === 'answers' ? 'first' : `proto-${'abc'[i]}`, n: 60, value })),
});

const tests = (slow: number, p: number): TellTest[] => [
  look('hand-over-time', 'prototype', p, [5_200, 5_400, slow]),
  look('fitting-time', 'prototype', 0.31, [6_100, 6_300, 6_000]),
  look('seal-retries', 'prototype', 0.62, [0.22, 0.18, 0.2]),
  look('answers', 'position', 0.44, [0.53]),
  look('answers', 'code-number', 0.87, [0.49]),
  look('answers', 'operator', null, []),
  look('answers', 'hour', null, []),
];

const guesses = (right: number, lower: number, upper: number, p: number): TellsFindings['guesses'] => ({
  asked: 20,
  answered: 18,
  noIdea: 2,
  right,
  of: 3,
  chance: 1 / 3,
  p,
  share: { value: right / 16, lower, upper, level: 0.95 },
  bySure: [
    { sure: 'guess', n: 9, right: Math.floor(right / 2) },
    { sure: 'fairly', n: 7, right: Math.ceil(right / 2) },
    { sure: 'certain', n: 0, right: 0 },
  ],
});

const shown = (tells: TellsFindings): Pick<VerdictPage, 'tellCautions' | 'tells'> => ({
  tellCautions: tellCautions({ tells }, plan),
  tells: tellsPart({ tells }, plan),
});

/** A study that kept its secret, and one that didn't. */
export const noTells = shown({ guesses: guesses(6, 0.152, 0.646, 0.453), tests: tests(5_300, 0.48) });
export const manyTells = shown({ guesses: guesses(12, 0.476, 0.927, 0.0009), tests: tests(11_900, 0.0002) });
