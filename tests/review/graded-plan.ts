import { type MethodId, type Plan, planSchema } from '../../shared/plan';
import { aPlan, type PlanWish, starter } from '../blinding/a-plan';

/** Methods that ask for grades. */
export const gradedMethods = [
  'several-stimuli',
  'reference-and-anchors',
  'small-impairments',
  'absolute-rating',
  'comparison-rating',
  'attribute-profile',
  'just-about-right',
  'check-all',
] as const satisfies readonly MethodId[];
export type GradedMethod = (typeof gradedMethods)[number];

interface OfGraded {
  aim: Plan['aim'];
  spec: unknown;
  scale: string;
  smallest: Plan['risks']['smallest'];
  playback?: 'renders';
}

const points = (value: number): Plan['risks']['smallest'] => ({ kind: 'points', value });
const liking = { id: 'liking', name: 'Liking', low: 'dislike', high: 'like', polarity: 'bipolar', points: 9 };

const usual = (count: number, rounds: number): Record<GradedMethod, OfGraded> => ({
  'several-stimuli': {
    aim: 'preference',
    spec: { scales: [starter('liking'), starter('bass')], size: Math.min(count, 8), trials: rounds },
    scale: 'liking',
    smallest: points(1),
  },
  'reference-and-anchors': {
    aim: 'profile',
    spec: { reference: 'proto-a', trials: rounds },
    scale: 'quality',
    smallest: points(10),
    playback: 'renders',
  },
  'small-impairments': {
    aim: 'profile',
    spec: { reference: 'proto-a', rounds },
    scale: 'impairment',
    smallest: points(0.5),
    playback: 'renders',
  },
  'absolute-rating': { aim: 'preference', spec: { rounds }, scale: 'quality', smallest: points(0.5) },
  'comparison-rating': { aim: 'preference', spec: { rounds }, scale: 'comparison', smallest: points(0.5) },
  'attribute-profile': {
    aim: 'profile',
    spec: {
      scales: [
        { ...starter('bass'), definition: 'How much there is below 200 Hz.' },
        { ...starter('brightness'), definition: 'Whether treble stands before the rest.' },
        { ...starter('stage-width'), definition: 'How far apart left and right seem.' },
      ],
      rounds,
    },
    scale: 'bass',
    smallest: points(1),
  },
  'just-about-right': {
    aim: 'preference',
    spec: {
      liking,
      scales: [
        { id: 'bass', name: 'Bass', low: 'too little', high: 'too much' },
        { id: 'treble', name: 'Treble', low: 'too dull', high: 'too sharp' },
      ],
      rounds,
    },
    scale: 'liking',
    smallest: points(1),
  },
  'check-all': {
    aim: 'profile',
    spec: {
      attributes: [
        { id: 'harsh', name: 'harsh', definition: 'Treble that hurts.' },
        { id: 'warm', name: 'warm' },
        { id: 'boomy', name: 'boomy' },
        { id: 'natural', name: 'natural' },
      ],
      liking,
      rounds,
    },
    scale: 'harsh',
    smallest: { kind: 'ticked', value: 0.3 },
  },
});

/** A plan of a method that asks for grades. `anchors`: so many are added where the method has a reference. */
export function gradedPlan(
  method: GradedMethod,
  {
    rounds = 1,
    anchors = 0,
    primary = [0, 1],
    smallest,
    ...wish
  }: Omit<PlanWish, 'method' | 'risks' | 'anchors' | 'rounds' | 'smallest'> & {
    rounds?: number;
    anchors?: number;
    smallest?: number;
  } = {},
): Plan {
  const count = wish.prototypes ?? 3;
  const own = usual(count, rounds)[method];
  const letter = (place: number) => `proto-${'abcdefghijkl'[place]}`;
  const plan = aPlan({
    ...wish,
    prototypes: Math.min(count, 8),
    method: 'several-stimuli',
    spec: wish.spec ?? own.spec,
    aim: wish.aim ?? own.aim,
    playback: own.playback ?? wish.playback ?? 'bench-player',
    risks: {
      sides: 'two-sided',
      smallest: smallest === undefined ? own.smallest : ({ ...own.smallest, value: smallest } as typeof own.smallest),
    },
  });
  const more = Array.from({ length: Math.max(0, count - 8) }, (_, i) => i + 8);
  const whole: unknown = {
    ...plan,
    method: { id: method, spec: wish.spec ?? own.spec },
    prototypes: [
      ...plan.prototypes,
      ...more.map((place) => ({
        id: letter(place),
        name: wish.names?.[place] ?? `Prototype ${'ABCDEFGHIJKL'[place]}`,
        units: [],
      })),
      ...([3500, 7000] as const).slice(0, anchors).map((lowPassHz) => ({
        id: `anchor-${lowPassHz}`,
        name: `Anchor ${lowPassHz / 1000} kHz`,
        anchor: { lowPassHz },
        units: [],
      })),
    ],
    primary: { first: letter(primary[0]), second: letter(primary[1]), scale: wish.scale ?? own.scale },
  };
  return planSchema.parse(whole);
}
