import { fault } from './fault.mjs';

/** What time did to answers, and which sittings count. */
export const overTime = [
  fault(
    'over time: a slope per hearing in place of per doubling',
    'protocols/sitting-slope.ts',
    [['Math.log2(Math.max(1, heard))', 'heard']],
    'protocols/over-time',
  ),
  fault(
    'over time: a slope of listeners who hardly heard more',
    'protocols/sitting-slope.ts',
    [['leastDoublings = 0.5', 'leastDoublings = 0.01']],
    'protocols/over-time',
  ),
  fault(
    'over time: stable by a margin for each doubling',
    'protocols/over-time.ts',
    [['measure.margin / doublings', 'measure.margin']],
    'protocols/over-time',
  ),
  fault(
    'over time: answers weigh in place of sittings',
    'protocols/over-time.ts',
    [['const later = meanOf(rest.map(({ value }) => value));', 'const later = rest.at(-1)?.value ?? 0;']],
    'protocols/over-time',
  ),
  fault(
    'over time: audiences not corrected for each other',
    'protocols/over-time.ts',
    [['holm(family.map(({ p }) => p))', 'family.map(({ p }) => p)']],
    'protocols/over-time',
  ),
  fault(
    'over time: hearings of all samples of a trial taken for one',
    'protocols/sitting-figures.ts',
    [['outcome.exposure / Math.max(1, outcome.prototypes.length)', 'outcome.exposure']],
    'protocols/sitting-figures',
  ),
  fault(
    'day to day: days weigh as if all were of one length',
    'protocols/day-to-day.ts',
    [['weight: squares / n', 'weight: n / days.length']],
    'protocols/day-to-day',
  ),
  fault(
    'noted sittings: flagged ones stay in',
    'protocols/flagged-sittings.ts',
    [['const rest = outcomes.filter((outcome) => !flagged(outcome));', 'const rest = outcomes;']],
    'review/over-time/over-time',
  ),
  fault(
    'verdict days: all days count',
    'protocols/verdict-days.ts',
    [
      [
        'return !verdictDays || (sittingNumber >= verdictDays.from && sittingNumber <= verdictDays.to);',
        'return true;',
      ],
      ['({ sittingNumber }: Pick', '({ sittingNumber: _ }: Pick'],
      ['{ verdictDays }: Days): boolean', '{ verdictDays: _days }: Days): boolean'],
    ],
    'review/over-time/over-time',
  ),
  fault(
    'verdict days: more sittings than are planned',
    'server/plan/verdict-days-problems.ts',
    [['to > sessions.count', 'to > sessions.count + 9']],
    'plan/verdict-days-problems',
  ),
];
