import { z } from 'zod';
import { scaleIdPattern } from './scales';

/** Limits that pages state and schemas enforce; in one place so that they can't drift apart. */
export const planLimits = {
  title: 120,
  question: 200,
  name: 60,
  serial: 60,
  note: 300,
  /** `max`: where a method rates a reference and anchors beside them; `usual`: of all others. */
  prototypes: { min: 2, max: 12, usual: 8 },
  /** Hertz, of the anchors that ITU-R BS.1534-3 knows: the reference below that frequency alone. */
  anchors: [3500, 7000],
  units: 12,
  audiences: 6,
  listeners: { min: 1, max: 200 },
  sessions: 12,
  /** Seconds of a first impression, and how long after them a rating still counts as given in time. */
  window: { min: 5, max: 15, usual: 10 },
  answer: { min: 5, max: 120, usual: 20 },
  reset: { min: 5, max: 60, usual: 10 },
  /** Of each kind, in a sitting. */
  controls: 8,
  /** Hours between two sittings of a listener: at most 60 days. */
  gapHours: { max: 1440, usual: 18 },
  spanDays: 366,
  /** Of the words by which listeners may know a prototype. */
  knownAs: 40,
  /** Of what one sample has more of, in words for listeners. */
  attribute: 40,
  excerpts: 12,
  /** Seconds that every sample must have played before an answer counts. */
  minimum: { min: 1, max: 30, usual: 3 },
  /** Days for which a measured level holds. */
  stale: { min: 1, max: 365, usual: 30 },
  /** Hertz, of a band by which levels are matched. */
  band: { min: 20, max: 20_000 },
  /** From its low end to its high end a band is at least so many times as high: a third of an octave. */
  bandRatio: 1.26,
  /** Seconds that a step takes, where there is one. */
  step: 5,
  /** Of the name of a product that studies are about. */
  product: 60,
  priceClasses: 9,
  priceWords: 40,
} as const;

const line = (max: number) => z.string().trim().min(1).max(max);
const id = z
  .string()
  .min(1)
  .max(64)
  .regex(/^[A-Za-z0-9_-]+$/, 'letters, digits, - and _ only');

export const unitSchema = z.strictObject({
  id,
  serial: line(planLimits.serial),
  note: z.string().trim().max(planLimits.note).optional(),
});

export const prototypeSchema = z.strictObject({
  id,
  name: line(planLimits.name),
  candidate: z.boolean().optional(),
  /** What it would cost, by class: 1 is the lowest. Prototypes of one class have the same words. */
  priceClass: z
    .strictObject({ rank: z.int().min(1).max(planLimits.priceClasses), words: line(planLimits.priceWords) })
    .optional(),
  /** It is the reference with everything above that frequency taken off; its render is made here. */
  anchor: z.strictObject({ lowPassHz: z.literal(planLimits.anchors) }).optional(),
  /** None where nothing is handed over. */
  units: z.array(unitSchema).max(planLimits.units),
});

export const audienceSchema = z.strictObject({
  id,
  name: line(planLimits.name),
  listeners: z.int().min(planLimits.listeners.min).max(planLimits.listeners.max),
});

/** `server`: nothing is handed over; the server plays renders, and only it knows which is which. */
export const handlings = ['two-person', 'day-code', 'solo', 'server'] as const;
/**
 * Where the programme comes from. `seat-player`: units are handed over, and the listener's page plays each a file made
 * for it. `renders`: the page plays what each prototype would make of the excerpt.
 */
export const playbacks = ['bench-player', 'seat-device', 'none', 'seat-player', 'renders'] as const;
export type Playback = (typeof playbacks)[number];
/** The listener's page plays. */
export const plays = ({ playback }: { playback: Playback }): boolean =>
  playback === 'seat-player' || playback === 'renders';
/** Units go to the listener. */
export const handsOver = ({ playback }: { playback: Playback }): boolean => playback !== 'renders';
/** Units are compared by ear to a programme, so that how loud each plays it counts. */
export const levelsCount = ({ playback }: { playback: Playback }): boolean =>
  playback !== 'renders' && playback !== 'none';
/** Whether a carrier keeps its code for a whole session. */
export const codesLast = ({ handling }: { handling: (typeof handlings)[number] }): boolean =>
  handling === 'day-code' || handling === 'solo';
export const tipRules = ['own-tips', 'cleaned-tips', 'tip-is-prototype'] as const;
export const noPreferenceRules = ['split', 'drop'] as const;

/** What a plan asks about: is it heard, is it the same for the purpose, which is better, or how do they differ. */
export const aims = ['difference', 'similarity', 'preference', 'profile'] as const;
export type Aim = (typeof aims)[number];
export const methodIds = [
  'paired-preference',
  'abx',
  'first-impressions',
  'triangle',
  'duo-trio',
  '2-afc',
  '3-afc',
  'tetrad',
  'two-out-of-five',
  'same-different',
  'a-not-a',
  'ranking',
  'several-stimuli',
  'reference-and-anchors',
  'small-impairments',
  'absolute-rating',
  'comparison-rating',
  'attribute-profile',
  'just-about-right',
  'check-all',
] as const;
export type MethodId = (typeof methodIds)[number];

/** A session missed is made up for in a later one, or is lost: then the listener has one sitting less. */
export const missedRules = ['make-up', 'lost'] as const;

/** How a listener may be on the day, and what the plan does about it. */
export const conditions = ['congestion', 'illness', 'pain', 'ringing', 'loud-sound', 'tiredness'] as const;
export type Condition = (typeof conditions)[number];
export const conditionRules = ['pass', 'mark', 'postpone'] as const;
export type ConditionRule = (typeof conditionRules)[number];
const rule = z.enum(conditionRules);
/** Whoever is in pain or hears ringing isn't just waved through, whatever a team would like. */
const careful = z.enum(['mark', 'postpone']);
export const checkInSchema = z.strictObject({
  congestion: rule,
  illness: rule,
  pain: careful,
  ringing: careful,
  'loud-sound': rule,
  tiredness: rule,
});
export const usualCheckIn: z.infer<typeof checkInSchema> = {
  congestion: 'postpone',
  illness: 'mark',
  pain: 'postpone',
  ringing: 'postpone',
  'loud-sound': 'mark',
  tiredness: 'pass',
};

/** Marks of an answer by which a plan may leave it out: fixed before the first answer, and the same for all samples. */
export const exclusionRules = [
  'marked',
  'outside-listening',
  'revealed',
  'saw-key',
  'late',
  'interrupted',
  'reloaded',
  'clocks-disagree',
  'short-rest',
] as const;
export type ExclusionRule = (typeof exclusionRules)[number];

/** What the smallest effect worth finding is measured in: by kind of method. */
export const smallestSchema = z.discriminatedUnion('kind', [
  /** Share of preferences for one of two. */
  z.strictObject({ kind: z.literal('share'), value: z.number().gt(0.5).lt(1) }),
  /** Share of trials in which the difference is truly heard, lucky guesses taken off. */
  z.strictObject({ kind: z.literal('heard'), value: z.number().gt(0).lt(1) }),
  /** Points of the scale that the verdict rests on. */
  z.strictObject({ kind: z.literal('points'), value: z.number().gt(0).max(100) }),
  /** Difference of the shares of listeners who tick a word. */
  z.strictObject({ kind: z.literal('ticked'), value: z.number().gt(0).lt(1) }),
  /** Distance of two samples in standard deviations of one impression. */
  z.strictObject({ kind: z.literal('d-prime'), value: z.number().gt(0).max(5) }),
]);

/** Trials that are put to judge the panel and the samples, and never count for the verdict. */
export const controlKinds = ['hiddenRepeats', 'identicalPairs', 'knownDifference', 'units'] as const;
export type ControlKind = (typeof controlKinds)[number];

/**
 * How often anybody may look before the end. `sequential`: Wald's test, whose bounds keep α exactly (`strict`) or nearly
 * (`wald`). `always-valid`: at any time, for as long as it takes.
 */
export const looksSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('fixed') }),
  z.strictObject({ kind: z.literal('sequential'), bounds: z.enum(['strict', 'wald']).default('strict') }),
  z.strictObject({ kind: z.literal('always-valid') }),
]);
export type Looks = z.infer<typeof looksSchema>;

export const resets = ['silence', 'neutral'] as const;

/** The window of exposure in which a first impression is had, and the rest before it. */
export const firstImpressionSchema = z.strictObject({
  windowSeconds: z.int().min(planLimits.window.min).max(planLimits.window.max),
  answerSeconds: z.int().min(planLimits.answer.min).max(planLimits.answer.max),
  reset: z.strictObject({
    kind: z.enum(resets),
    seconds: z.int().min(planLimits.reset.min).max(planLimits.reset.max),
    /** The neutral piece, in words for the listener; only with that kind. */
    item: line(120).optional(),
  }),
});
export type FirstImpression = z.infer<typeof firstImpressionSchema>;

/**
 * A question after everything: which one a listener thinks the last sample was, by words that listeners may read. One
 * label for each prototype; they stand on every phone, so they are the team's own and never taken from a name.
 */
export const closingQuestionSchema = z.strictObject({
  labels: z
    .array(z.strictObject({ prototype: id, words: line(planLimits.knownAs) }))
    .min(planLimits.prototypes.min)
    .max(planLimits.prototypes.max),
});
export type ClosingQuestion = z.infer<typeof closingQuestionSchema>;

/** A piece of programme. */
export const excerptSchema = z.strictObject({ id, name: line(planLimits.name) });

export const matchings = ['loudness', 'band'] as const;
export const alignments = ['checked', 'declared'] as const;
export const interruptionRules = ['mark', 'void'] as const;
export const wirelessRules = ['refused', 'allowed'] as const;
const hertz = z.number().min(planLimits.band.min).max(planLimits.band.max);

/** How sound is matched and played, where the listener's page plays it. */
export const soundSchema = z.strictObject({
  match: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('loudness') }),
    z.strictObject({ kind: z.literal('band'), low: hertz, high: hertz }),
  ]),
  /** Renders of one excerpt begin together to within a sample; or it is declared that they needn't. */
  alignment: z.enum(alignments),
  minimumSeconds: z.int().min(planLimits.minimum.min).max(planLimits.minimum.max),
  /** Whether an answer counts, marked, when the sound was interrupted, or its trial comes again. */
  interruption: z.enum(interruptionRules),
  wireless: z.enum(wirelessRules),
});
export type SoundPlan = z.infer<typeof soundSchema>;
export const usualSound: SoundPlan = {
  match: { kind: 'loudness' },
  alignment: 'checked',
  minimumSeconds: planLimits.minimum.usual,
  interruption: 'mark',
  wireless: 'refused',
};

/**
 * Seconds that one step takes, for the estimate of minutes; nothing is enforced by them. Where nothing is handed over
 * nothing is swapped and fitted, and both are 0.
 */
export const timingSchema = z.strictObject({
  listen: z.int().min(5).max(600),
  swap: z.int().min(0).max(600),
  fit: z.int().min(0).max(300),
  answer: z.int().min(5).max(300),
  /** Wiping tips before each sample. */
  clean: z.int().min(0).max(300).optional(),
  /** Between two trials. */
  pause: z.int().min(0).max(600).optional(),
});

export const planSchema = z.strictObject({
  format: z.literal('fair-hearing/plan'),
  version: z.literal(1),
  title: line(planLimits.title),
  question: line(planLimits.question),
  /** What is being tuned: studies of one product are its history. */
  product: line(planLimits.product).optional(),
  aim: z.enum(aims),
  method: z.strictObject({ id: z.enum(methodIds), spec: z.unknown() }),
  prototypes: z.array(prototypeSchema).min(planLimits.prototypes.min).max(planLimits.prototypes.max),
  excerpts: z.array(excerptSchema).max(planLimits.excerpts),
  audiences: z.array(audienceSchema).min(1).max(planLimits.audiences),
  sessions: z.strictObject({
    count: z.int().min(1).max(planLimits.sessions),
    /** From the end of a listener's sitting to the begin of the next. */
    minimumGapHours: z.number().min(0).max(planLimits.gapHours.max),
    /** From a listener's first sitting to the last; 0 sets no end. */
    maximumSpanDays: z.number().min(0).max(planLimits.spanDays),
    missed: z.enum(missedRules).default('make-up'),
  }),
  checkIn: checkInSchema.default(usualCheckIn),
  handling: z.enum(handlings),
  playback: z.enum(playbacks),
  sound: soundSchema.optional(),
  /** For how many days a measured level of a unit holds. */
  levels: z.strictObject({ staleDays: z.int().min(planLimits.stale.min).max(planLimits.stale.max) }).optional(),
  tips: z.enum(tipRules),
  risks: z.strictObject({
    alpha: z.number().gt(0).max(0.2),
    beta: z.number().gt(0).max(0.5),
    smallest: smallestSchema,
    sides: z.enum(['two-sided', 'one-sided']),
  }),
  /** What the verdict rests on: two prototypes, and with ratings one scale. */
  primary: z.strictObject({ first: id, second: id, scale: z.string().regex(scaleIdPattern).optional() }),
  family: z.literal('holm'),
  looks: looksSchema,
  /** Answers with one of these marks are left out of the verdict; late is told scale by scale. */
  exclusions: z.array(z.enum(exclusionRules)).max(exclusionRules.length),
  controls: z.strictObject({
    /** Prototypes put once more in the same sitting under a new code, so that repeatability can be told. */
    hiddenRepeats: z.int().min(0).max(planLimits.controls).optional(),
    /** Trials of a sitting in which all samples are one and the same. */
    identicalPairs: z.int().min(0).max(planLimits.controls).optional(),
    /** Trials of a sitting against a sample that everybody should tell; it is compared with nothing else. */
    knownDifference: z.strictObject({ trials: z.int().min(1).max(planLimits.controls), prototype: id }).optional(),
    /** Trials of a sitting with two units of one prototype. */
    units: z.int().min(0).max(planLimits.controls).optional(),
  }),
  noPreference: z
    .strictObject({ offered: z.boolean(), rule: z.enum(noPreferenceRules) })
    .default({ offered: false, rule: 'split' }),
  firstImpression: firstImpressionSchema.optional(),
  closingQuestion: closingQuestionSchema.optional(),
  /** Which of a listener's own sittings, counted from 1, the verdict counts; left out: all of them, alike. */
  verdictDays: z
    .strictObject({ from: z.int().min(1).max(planLimits.sessions), to: z.int().min(1).max(planLimits.sessions) })
    .optional(),
  /** A verdict for all audiences together as well, where it isn't shown that they answer differently. Left out: none. */
  pooling: z.literal('if-alike').optional(),
  /** The study that this one goes on from, with the hash of its plan. */
  follows: z.strictObject({ study: id, planHash: z.string().regex(/^[0-9a-f]{64}$/) }).optional(),
  /** Two files, one listener who brought them, at once. */
  quick: z.literal(true).optional(),
  timing: timingSchema,
});
export type Plan = z.infer<typeof planSchema>;
export type PlanExcerpt = z.infer<typeof excerptSchema>;
export type PlanUnit = z.infer<typeof unitSchema>;
export type PlanPrototype = z.infer<typeof prototypeSchema>;
export type PlanAudience = z.infer<typeof audienceSchema>;
export type Handling = (typeof handlings)[number];
