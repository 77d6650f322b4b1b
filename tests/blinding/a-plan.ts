import { levelsCount, type Plan, planLimits, planSchema, plays, type SoundPlan, usualSound } from '../../shared/plan';
import { type Scale, starterScales } from '../../shared/scales';
import { oneByOne } from './one-by-one-wish';
import { byStandard, playsRenders } from './standards-wish';

/** A plan for tests: as small as it may be, with what a test is about put in. Ids say what they stand for. */
export interface PlanWish {
  /** Left out: paired preference. */
  method?: Plan['method']['id'];
  prototypes?: number;
  /** Units of each prototype, or of each in turn. */
  units?: number | number[];
  /** Paired preference: how often each pair is put in one sitting. */
  repeats?: number;
  /** ABX: scored trials of a sitting. */
  trials?: number;
  /** What the method is asked for; each method's usual one when left out. */
  aim?: Plan['aim'];
  /** The method's own settings; the usual ones when left out. */
  spec?: unknown;
  controls?: Plan['controls'];
  looks?: Plan['looks'];
  /** First impressions: scales of one's own, or starter scales by id. */
  scales?: readonly (Scale | string)[];
  /** First impressions: the id of the scale that the verdict rests on; the first one when left out. */
  scale?: string;
  firstImpression?: Partial<NonNullable<Plan['firstImpression']>>;
  hiddenRepeats?: number;
  /** One sample at a time: how often a sitting goes through all. */
  rounds?: number;
  /** Just about right, check all that apply: ids of what is asked about. */
  attributes?: readonly string[];
  /** Check all that apply: liking is asked first. */
  liked?: true;
  /** Several stimuli: samples in one trial; all when left out. */
  size?: number;
  /** Hidden reference: whether listeners are left out by the rule; not when left out. */
  screening?: boolean;
  /** Anchors by their frequency, beside the prototypes. */
  anchors?: readonly (3500 | 7000)[];
  audiences?: [id: string, listeners: number][];
  sessions?: number;
  gapHours?: number;
  spanDays?: number;
  missed?: Plan['sessions']['missed'];
  checkIn?: Partial<Plan['checkIn']>;
  exclusions?: Plan['exclusions'];
  /** Left out: two people. With renders it is the server in any case. */
  handling?: Plan['handling'];
  playback?: Plan['playback'];
  /** Pieces of programme where the page plays; one when left out. */
  excerpts?: number;
  sound?: Partial<SoundPlan>;
  noPreference?: Plan['noPreference'];
  risks?: Partial<Plan['risks']>;
  names?: string[];
  primary?: [number, number];
  follows?: Plan['follows'];
}

export const letters = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h', 'i', 'j', 'k', 'l'] as const;

export const starter = (id: string): Scale => {
  const found = starterScales.find((scale) => scale.id === id);
  if (!found) throw new Error(`There is no starter scale ${id}.`);
  return found;
};

interface OfMethod {
  aim: Plan['aim'];
  question: string;
  spec: unknown;
  risks: Pick<Plan['risks'], 'smallest' | 'sides'>;
  controls: Plan['controls'];
  scale?: string;
  firstImpression?: Plan['firstImpression'];
}

function ofMethod(wish: PlanWish, prototypes: number): OfMethod {
  switch (wish.method ?? 'paired-preference') {
    case 'paired-preference':
      return {
        aim: 'preference',
        question: 'Which one do they prefer?',
        spec: { turns: ((prototypes * (prototypes - 1)) / 2) * (wish.repeats ?? 1) },
        risks: { smallest: { kind: 'share', value: 0.75 }, sides: 'two-sided' },
        controls: {},
      };
    case 'same-different':
    case 'a-not-a':
      return {
        aim: 'difference',
        question: 'Can they hear the change?',
        spec: wish.spec ?? { trials: wish.trials ?? 6 },
        risks: { smallest: { kind: 'd-prime', value: 1 }, sides: 'one-sided' },
        controls: {},
      };
    case 'ranking':
      return {
        aim: 'preference',
        question: 'Which one do they prefer?',
        spec: wish.spec ?? {},
        risks: { smallest: { kind: 'share', value: 0.75 }, sides: 'two-sided' },
        controls: {},
      };
    case 'first-impressions': {
      const scales = (wish.scales ?? ['liking', 'brightness', 'bass']).map((scale) =>
        typeof scale === 'string' ? starter(scale) : scale,
      );
      const scale = wish.scale ?? scales[0]?.id;
      return {
        aim: 'profile',
        question: 'How do they differ at first hearing?',
        spec: { scales },
        risks: { smallest: { kind: 'points', value: 1 }, sides: 'two-sided' },
        controls: { hiddenRepeats: wish.hiddenRepeats ?? 0 },
        ...(scale === undefined ? {} : { scale }),
        firstImpression: {
          windowSeconds: 10,
          answerSeconds: 20,
          reset: { kind: 'silence', seconds: 10 },
          ...wish.firstImpression,
        },
      };
    }
    case 'attribute-profile':
    case 'just-about-right':
    case 'check-all':
      return oneByOne(wish, starter);
    case 'several-stimuli':
    case 'reference-and-anchors':
    case 'small-impairments':
    case 'absolute-rating':
    case 'comparison-rating':
      return byStandard(wish, starter, prototypes);
    default:
      return {
        aim: wish.aim ?? 'difference',
        question: 'Can they hear the change?',
        spec: wish.spec ?? {
          trials: wish.trials ?? 6,
          ...((wish.method === '2-afc' || wish.method === '3-afc') && { attribute: 'bass' }),
        },
        risks: { smallest: { kind: 'heard', value: 0.5 }, sides: 'one-sided' },
        controls: {},
      };
  }
}

export function aPlan(wish: PlanWish = {}): Plan {
  const count = wish.prototypes ?? 2;
  const [first, second] = wish.primary ?? [0, 1];
  const { aim, question, spec, risks, controls, scale, firstImpression } = ofMethod(wish, count);
  const playback = wish.playback ?? (playsRenders(wish.method) ? 'renders' : 'bench-player');
  const renders = playback === 'renders';
  const plan = planSchema.parse({
    format: 'fair-hearing/plan',
    version: 1,
    title: 'Vent study',
    question,
    aim,
    method: { id: wish.method ?? 'paired-preference', spec },
    prototypes: [
      ...letters.slice(0, count).map((letter, i) => ({
        id: `proto-${letter}`,
        name: wish.names?.[i] ?? `Prototype ${letter.toUpperCase()}`,
        units: Array.from(
          { length: renders ? 0 : Array.isArray(wish.units) ? (wish.units[i] ?? 1) : (wish.units ?? 1) },
          (_, j) => ({
            id: `unit-${letter}${j + 1}`,
            serial: `S-${letter.toUpperCase()}${j + 1}`,
          }),
        ),
      })),
      ...(wish.anchors ?? []).map((lowPassHz) => ({
        id: `anchor-${lowPassHz}`,
        name: `Anchor ${lowPassHz}`,
        anchor: { lowPassHz },
        units: [],
      })),
    ],
    excerpts: Array.from({ length: plays({ playback }) ? (wish.excerpts ?? 1) : 0 }, (_, i) => ({
      id: `excerpt-${i + 1}`,
      name: `Excerpt ${letters[i]?.toUpperCase()}`,
    })),
    audiences: (wish.audiences ?? [['home', 8]]).map(([id, listeners]) => ({
      id,
      name: id === 'home' ? 'Home' : id === 'stage' ? 'Stage' : id,
      listeners,
    })),
    sessions: {
      count: wish.sessions ?? 1,
      minimumGapHours: wish.gapHours ?? 0,
      maximumSpanDays: wish.spanDays ?? 0,
      missed: wish.missed ?? 'make-up',
    },
    handling: renders ? 'server' : (wish.handling ?? 'two-person'),
    playback,
    ...(plays({ playback }) && { sound: { ...usualSound, ...wish.sound } }),
    ...(levelsCount({ playback }) && { levels: { staleDays: planLimits.stale.usual } }),
    tips: 'own-tips',
    risks: { alpha: 0.05, beta: 0.2, ...risks, ...wish.risks },
    primary: {
      first: `proto-${letters[first]}`,
      second: `proto-${letters[second]}`,
      ...(scale === undefined ? {} : { scale }),
    },
    family: 'holm',
    looks: wish.looks ?? { kind: 'fixed' },
    exclusions: wish.exclusions ?? [],
    controls: wish.controls ?? controls,
    noPreference: wish.noPreference ?? { offered: false, rule: 'split' },
    ...(firstImpression ? { firstImpression } : {}),
    ...(wish.follows ? { follows: wish.follows } : {}),
    timing: renders ? { listen: 20, swap: 0, fit: 0, answer: 15 } : { listen: 20, swap: 25, fit: 15, answer: 15 },
  });
  return { ...plan, checkIn: { ...plan.checkIn, ...wish.checkIn } };
}
