import type { VerdictPage } from '../../../server/review/view-models';
import { aPlan } from '../../blinding/a-plan';
import type { ViewExamples } from '../staff/frame';
import { longName } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const plan = {
  ...aPlan({
    method: 'first-impressions',
    names: ['Wide vent', 'Closed bore', longName],
    prototypes: 3,
    units: 2,
    scales: ['stage-width', 'brightness', 'liking'],
    sessions: 5,
    hiddenRepeats: 1,
    audiences: [
      ['stage', 12],
      ['home', 8],
    ],
  }),
  question: 'How do the three vents strike at first hearing?',
};

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    {
      name: 'impressions-drifting',
      model: verdictPage(plan, {
        seed: 8,
        truth: {
          residualSd: 0.7,
          driftPerSession: 0.15,
          ratings: {
            'stage-width': { 'proto-a': 1, 'proto-b': -0.5, 'proto-c': 0.5 },
            brightness: { 'proto-a': 0.5, 'proto-b': -1 },
          },
        },
        truthOf: { home: { driftPerSession: 0, ratings: {} } },
        late: 0.03,
        miss: 0.05,
        reloaded: 0.01,
        marked: 0.05,
        outside: 0.05,
      }),
    },
    {
      // Rules, a few trials left out by code, and some more once the verdict was known.
      name: 'impressions-left-out',
      model: verdictPage(
        {
          ...aPlan({
            method: 'first-impressions',
            names: ['Wide vent', 'Closed bore'],
            scales: ['liking', 'bass'],
            sessions: 2,
            audiences: [
              ['stage', 6],
              ['home', 5],
            ],
            exclusions: ['marked', 'late', 'reloaded'],
          }),
          question: 'Do they like the wide vent better at first hearing?',
        },
        {
          seed: 14,
          truth: { residualSd: 0.8, ratings: { liking: { 'proto-a': 1.2 } } },
          late: 0.05,
          reloaded: 0.05,
          marked: 0.1,
          excluded: 0.04,
          excludedAfterwards: 0.1,
          leave: 0.02,
          quarantined: 1,
        },
        { later: '2 answers came in after unsealing. They are kept apart and not counted.', dataPage: '/x' },
      ),
    },
    {
      name: 'impressions-seat-player',
      model: verdictPage(
        {
          ...aPlan({
            method: 'first-impressions',
            playback: 'seat-player',
            excerpts: 2,
            names: ['Wide vent', 'Closed bore'],
            scales: ['liking', 'bass'],
            units: [2, 2],
            sessions: 2,
            audiences: [['stage', 6]],
          }),
          question: 'Do they like the wide vent better, unit by unit as loud?',
        },
        { seed: 9, truth: { residualSd: 0.8, ratings: { liking: { 'proto-a': 1.2 } } }, measured: true },
      ),
    },
    {
      name: 'impressions-not-enough',
      model: verdictPage(
        {
          ...aPlan({ method: 'first-impressions', scales: ['liking'], audiences: [['home', 2]] }),
          question: 'Do they like the wide vent at first hearing?',
        },
        { seed: 2 },
      ),
    },
  ],
};
export default examples;
