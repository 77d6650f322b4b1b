import type { Plan } from '../../../shared/plan';
import type { Scale } from '../../../shared/scales';
import type { TruthDocument } from '../../../shared/truth';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import type { Null } from './cases';

/** Studies with grades in which the two of the primary pair are alike, whatever else is there. */

const alpha = 0.05;
const nine: Scale = { id: 'liking', name: 'Liking', low: 'dislike', high: 'like', polarity: 'bipolar', points: 9 };
const seven: Scale = { ...nine, id: 'bass', name: 'Bass', low: 'little', high: 'much', points: 7 };

const twelve: PlanWish['audiences'] = [['home', 12]];
const planOf = (method: Plan['method']['id'], more: PlanWish): Plan => aPlan({ method, audiences: twelve, ...more });

/** Levels, tastes, days and a habit, in parts of the spread of a single grade; some sittings don't take place. */
const people = (residualSd: number, more: TruthDocument = {}): TruthDocument => ({
  residualSd,
  listenerSd: 0.7 * residualSd,
  interactionSd: 0.7 * residualSd,
  sessionSd: 0.3 * residualSd,
  dropOut: 0.15,
  ...more,
});

const one = (name: string, plan: Plan, truth: TruthDocument): Null => ({
  name,
  plan,
  truth,
  allowed: alpha,
  slow: true,
});

const several = { scales: [nine], prototypes: 4 };
const spec = (prototypes: number, trials: number) => ({ scales: [nine], size: prototypes, trials });

/** The least of two samples that are compared, and what a third and a fourth at the ends of the scale do to them. */
export const gradeNulls: readonly Null[] = [
  one('several-stimuli, four at once, twice', planOf('several-stimuli', { ...several, spec: spec(4, 2) }), people(1)),
  one(
    'several-stimuli, four at once, whatever comes first is lifted by 2 points',
    planOf('several-stimuli', { ...several, spec: spec(4, 2), sessions: 2 }),
    people(1, { positionBias: 2 }),
  ),
  one(
    'several-stimuli, four at once, the two others at the ends of the scale',
    planOf('several-stimuli', { ...several, spec: spec(4, 2) }),
    people(1, { ratings: { liking: { 'proto-c': 5, 'proto-d': -5 } } }),
  ),
  one(
    'several-stimuli, two at once, six listeners',
    planOf('several-stimuli', { scales: [nine], audiences: [['home', 6]], spec: spec(2, 1) }),
    people(1, { dropOut: 0 }),
  ),
  one(
    'several-stimuli, three of seven at once, 21 listeners, nobody grades them all',
    planOf('several-stimuli', {
      scales: [nine],
      prototypes: 7,
      audiences: [['home', 21]],
      spec: { scales: [nine], size: 3, trials: 1 },
    }),
    people(1, { dropOut: 0 }),
  ),
  one(
    'several-stimuli, two units each, apart by half of a grade’s spread',
    planOf('several-stimuli', { ...several, units: 2, spec: spec(4, 2), sessions: 2 }),
    people(1, { unitSd: 0.5 }),
  ),
  one(
    'several-stimuli, two units each, apart by twice a grade’s spread',
    planOf('several-stimuli', { ...several, units: 2, spec: spec(4, 2), sessions: 2 }),
    people(1, { unitSd: 2 }),
  ),
  one(
    'reference-and-anchors, two of four, the reference at the top',
    planOf('reference-and-anchors', { prototypes: 4, primary: [1, 2], trials: 3, anchors: [3500] }),
    people(12, { ratings: { quality: { 'proto-a': 60, 'proto-d': 10 } } }),
  ),
  one(
    'reference-and-anchors, listeners left out by the rule',
    planOf('reference-and-anchors', {
      prototypes: 4,
      primary: [1, 2],
      trials: 3,
      anchors: [3500, 7000],
      screening: true,
    }),
    people(12, { ratings: { quality: { 'proto-a': 45, 'proto-d': -10 } } }),
  ),
  one(
    'small-impairments, nothing is heard: an object and the hidden reference',
    planOf('small-impairments', { prototypes: 2, rounds: 4 }),
    people(0.5, { ratings: { impairment: { 'proto-a': 1.5, 'proto-b': 1.5 } }, positionBias: 0.3 }),
  ),
  one(
    'small-impairments, two objects alike, listeners left out by the rule',
    planOf('small-impairments', { prototypes: 3, primary: [1, 2], rounds: 3, screening: true }),
    people(0.5, { ratings: { impairment: { 'proto-a': 2, 'proto-b': 1.2, 'proto-c': 1.2 } } }),
  ),
  one('absolute-rating, two rounds', planOf('absolute-rating', { prototypes: 3, rounds: 2 }), people(0.7)),
  one(
    'comparison-rating, a habit of the first',
    planOf('comparison-rating', { prototypes: 3 }),
    people(1, { positionBias: 1 }),
  ),
  one(
    'attribute-profile, three rounds',
    planOf('attribute-profile', { prototypes: 3, scales: [seven], rounds: 3 }),
    people(1.2, { driftPerExposure: 0.3 }),
  ),
  one('just-about-right, two sessions', planOf('just-about-right', { prototypes: 3, sessions: 2 }), people(1.3)),
  one('check-all, two rounds', planOf('check-all', { prototypes: 3, rounds: 2 }), people(0.7)),
  one(
    'attribute-profile, two audiences',
    planOf('attribute-profile', {
      prototypes: 3,
      scales: [seven],
      sessions: 2,
      audiences: [
        ['home', 10],
        ['stage', 6],
      ],
    }),
    people(1.2),
  ),
];
