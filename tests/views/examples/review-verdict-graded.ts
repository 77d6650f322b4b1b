import { findingsOf } from '../../../server/review/findings';
import type { VerdictPage } from '../../../server/review/view-models';
import type { Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { gradedPlan } from '../../review/graded-plan';
import { randomStudy, type Wish } from '../../review/random-study';
import { longName, type ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const audiences: [string, number][] = [['home', 12]];
const names = ['Alder', 'Birch', longName];

const page = (name: string, plan: Plan, question: string, wish: Wish) => ({
  name,
  model: verdictPage({ ...plan, question }, wish),
});

/** What few studies have at once: a side that costs liking, two groups of listeners, and listeners of whom something is noted. */
const warned = ((): { name: string; model: VerdictPage } => {
  const plan: Plan = {
    ...gradedPlan('just-about-right', { names, rounds: 2, audiences: [['home', 24]] }),
    question: 'What should be changed, and for whom?',
  };
  const wish: Wish = { seed: 13, truth: { residualSd: 0.8, ratings: { liking: { 'proto-a': 1.4, 'proto-b': -0.8 } } } };
  const found = findingsOf(randomStudy(plan, wish).record, { resamples: 100 });
  const [home] = found.results;
  if (!home?.ratings) throw new Error('Grades have ratings.');
  const { ratings } = home;
  const result: Result = {
    ...home,
    warnings: [...home.warnings, 'two-peaks:proto-a:liking', 'rater-at-random:1', 'rater-other-way:1'],
    ratings: {
      ...ratings,
      scales: ratings.scales.map((one) => ({
        ...one,
        spreads: one.spreads?.map((spread) =>
          one.primary && spread.prototype === 'proto-a'
            ? { ...spread, median: 1.5, lower: -1.5, upper: 3, twoPeaks: true }
            : spread,
        ),
      })),
      penalties: ratings.penalties?.map((one, i) => ({
        ...one,
        low: { share: 0.12 + 0.02 * i, drop: 0.3, p: 0.6, pAdjusted: null },
        right: 0.4 - 0.02 * i,
        high: {
          share: 0.48,
          drop: i === 0 ? 1.8 : 0.4 * i,
          p: i === 0 ? 0.001 : 0.2,
          pAdjusted: i === 0 ? 0.008 : 0.9,
        },
      })),
      raters: ratings.raters?.map((one, i) => ({
        ...one,
        note: i === 3 ? ('at-random' as const) : i === 5 ? ('the-other-way' as const) : null,
      })),
    },
  };
  return { name: 'graded-warned', model: verdictPage(plan, wish, {}, { ...found, results: [result] }) };
})();

/** A letter of each method that asks for grades, and of what a letter of one may have. */
const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    page(
      'several-stimuli',
      gradedPlan('several-stimuli', { names, rounds: 2, audiences, units: [2, 2, 1] }),
      'Which of the three is liked best, side by side?',
      {
        seed: 3,
        truth: { residualSd: 0.8, ratings: { liking: { 'proto-a': 1.4, 'proto-b': -0.4 }, bass: { 'proto-a': 1 } } },
      },
    ),
    page(
      'reference-and-anchors',
      gradedPlan('reference-and-anchors', {
        names: ['Master', 'Alder', 'Birch'],
        rounds: 4,
        excerpts: 4,
        anchors: 2,
        primary: [1, 2],
        audiences: [['home', 14]],
      }),
      'How close do the two come to the master?',
      {
        seed: 5,
        truth: {
          residualSd: 7,
          listenerSd: 4,
          interactionSd: 4,
          random: 0.15,
          ratings: {
            quality: { 'proto-a': 48, 'proto-b': 30, 'proto-c': 18, 'anchor-3500': -35, 'anchor-7000': -12 },
          },
        },
      },
    ),
    page(
      'reference-and-anchors-twelve',
      gradedPlan('reference-and-anchors', {
        names: [
          'Master',
          'Alder',
          'Birch',
          'Cedar',
          'Dogwood',
          'Elm',
          'Fir',
          'Gorse',
          'Holly',
          'Ivy',
          'Juniper',
          'Larch',
        ],
        prototypes: 12,
        rounds: 2,
        excerpts: 2,
        primary: [0, 1],
        audiences,
      }),
      'Which of eleven comes closest to the master?',
      {
        seed: 7,
        truth: {
          residualSd: 8,
          ratings: {
            quality: Object.fromEntries([...'abcdefghijkl'].map((letter, i) => [`proto-${letter}`, 45 - 7 * i])),
          },
        },
      },
    ),
    page(
      'small-impairments',
      gradedPlan('small-impairments', {
        names: ['Master', 'Alder', 'Birch'],
        rounds: 3,
        excerpts: 3,
        sessions: 2,
        primary: [1, 0],
        audiences: [['home', 12]],
      }),
      'How much is lost against the master?',
      {
        seed: 4,
        truth: {
          residualSd: 0.4,
          interactionSd: 0.2,
          listenerSd: 0.3,
          random: 0.2,
          ratings: { impairment: { 'proto-a': 1.7, 'proto-b': 1.1, 'proto-c': 0.4 } },
        },
      },
    ),
    page(
      'absolute-rating',
      gradedPlan('absolute-rating', {
        names,
        rounds: 3,
        sessions: 2,
        audiences: [
          ['stage', 8],
          ['home', 8],
        ],
      }),
      'How good is each by itself?',
      { seed: 6, truth: { residualSd: 0.6, ratings: { quality: { 'proto-a': 0.6, 'proto-b': 0.4 } } } },
    ),
    page(
      'comparison-rating',
      gradedPlan('comparison-rating', {
        names,
        rounds: 1,
        sessions: 2,
        audiences,
        controls: { identicalPairs: 2 },
      }),
      'How much better is one than the other?',
      {
        seed: 8,
        truth: { residualSd: 0.7, positionBias: -0.5, ratings: { comparison: { 'proto-a': 0.9, 'proto-b': -0.2 } } },
      },
    ),
    page(
      'attribute-profile',
      gradedPlan('attribute-profile', { names, rounds: 2, sessions: 2, units: 2, audiences: [['stage', 10]] }),
      'How do the three sound?',
      {
        seed: 9,
        truth: {
          residualSd: 0.7,
          inverted: 0.15,
          ratings: {
            bass: { 'proto-a': 1.5, 'proto-b': -1 },
            brightness: { 'proto-a': -1, 'proto-c': 1 },
            'stage-width': { 'proto-b': 0.5 },
          },
        },
      },
    ),
    page(
      'just-about-right',
      gradedPlan('just-about-right', { names, audiences: [['home', 40]] }),
      'What should be changed?',
      {
        seed: 10,
        truth: {
          residualSd: 0.9,
          ratings: {
            liking: { 'proto-a': 1, 'proto-b': -0.6 },
            bass: { 'proto-a': 0.2, 'proto-b': 1.2, 'proto-c': -0.8 },
            treble: { 'proto-b': -0.7, 'proto-c': 0.6 },
          },
        },
      },
    ),
    page('check-all', gradedPlan('check-all', { names, audiences: [['home', 30]] }), 'Which words fit which?', {
      seed: 11,
      truth: {
        residualSd: 1,
        ratings: {
          harsh: { 'proto-a': 0.8, 'proto-b': -1.6, 'proto-c': -0.5 },
          warm: { 'proto-a': -1, 'proto-b': 1 },
          boomy: { 'proto-a': -2, 'proto-b': -1.5, 'proto-c': 0.5 },
          natural: { 'proto-a': 0.2, 'proto-b': 0.6 },
          liking: { 'proto-a': -0.5, 'proto-b': 1 },
        },
      },
    }),
    warned,
    page(
      'check-all-not-enough',
      gradedPlan('check-all', { names, audiences: [['home', 2]] }),
      'Which words fit which?',
      { seed: 12 },
    ),
  ],
};
export default examples;
