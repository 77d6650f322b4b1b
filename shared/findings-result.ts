import { z } from 'zod';
import { estimateSchema } from './findings-estimate';
import { looksDetailSchema } from './findings-looks';
import { rankingFindingsSchema } from './findings-ranking';
import { verdicts } from './verdicts';

export { estimateSchema };

/** What FINDINGS say of one audience: the verdict, and the figures of the method's family. */

const share = z.number().min(0).max(1);

const pair = z.strictObject({
  first: z.string(),
  second: z.string(),
  primary: z.boolean(),
  share: estimateSchema.nullable(),
  p: z.number().nullable(),
  pAdjusted: z.number().nullable(),
  listeners: z.int(),
  trials: z.int(),
  wins: z.int(),
  losses: z.int(),
  none: z.int(),
  pooled: z.strictObject({ share: z.number().nullable(), p: z.number().nullable(), trialsUsed: z.number() }),
});

const rights = { correct: z.int().min(0), trials: z.int().min(0) };

/** Whether a difference is too seldom heard to matter; only of plans that ask for that. */
const similarity = z.strictObject({
  /** Share of trials truly heard from which on it would matter. */
  limit: share,
  /** The largest share that the data still allow, one-sided at the level. */
  upper: share,
  level: share,
  /** By counting, where each listener answered once; else with the listener as the unit. */
  by: z.enum(['exact-count', 'over-listeners']),
  /** The most right answers with which it is shown; null where no count would do, or with the listener as the unit. */
  most: z.int().nullable(),
});

/** Right answers; null for methods whose answers are neither right nor wrong. */
const difference = z.strictObject({
  ...rights,
  /** Right answers from which on the difference is shown; null where so few trials can't show one. */
  critical: z.int().nullable(),
  share: estimateSchema.nullable(),
  /** Share of trials in which the difference was truly heard, lucky guesses taken off. */
  heard: estimateSchema.nullable(),
  /**
   * Whose trials that is a share of: the average listener's, with an interval over listeners who may differ; or all
   * together, where fewer than two answered or each answered once.
   */
  heardOf: z.enum(['average-listener', 'all-trials']).nullable(),
  /** How likely right answers would be so uneven over listeners if all heard it alike; null with all trials together. */
  unevenP: z.number().nullable(),
  misses: z.array(z.strictObject({ heard: share, miss: share })),
  listeners: z.array(
    z.strictObject({
      /** Audience and order of joining, as everywhere in these findings. */
      listener: z.string(),
      ...rights,
      sessions: z.array(z.strictObject({ sessionNumber: z.int().min(1), ...rights })),
    }),
  ),
  similarity: similarity.optional(),
});

const yesCounts = {
  /** Yes, of trials in which it is the answer: the two differ, or it is the sample that was learnt. */
  hits: z.int().min(0),
  signalTrials: z.int().min(0),
  /** Yes, of the others. */
  falseAlarms: z.int().min(0),
  noiseTrials: z.int().min(0),
};

/** Answers yes and no about two kinds of trials; left out for other methods. */
const yesNo = z.strictObject({
  ...yesCounts,
  hitRate: estimateSchema.nullable(),
  falseAlarmRate: estimateSchema.nullable(),
  /** How much oftener yes was said to the one kind than to the other, over listeners. */
  apart: estimateSchema.nullable(),
  dPrime: estimateSchema.nullable(),
  /** Leaning: over 0 toward no. */
  criterion: z.number().nullable(),
  misses: z.array(z.strictObject({ dPrime: z.number().min(0), miss: share })),
  listeners: z.array(z.strictObject({ listener: z.string(), ...yesCounts })),
});

const ratingPair = z.strictObject({
  first: z.string(),
  second: z.string(),
  /** Mean of the first minus mean of the second, in points: by the model, or over listeners' means where there is none. */
  difference: estimateSchema.nullable(),
  degreesOfFreedom: z.number().nullable(),
  p: z.number().nullable(),
  pAdjusted: z.number().nullable(),
  /** The same by a paired t test over listeners' own means. */
  byMeans: z.strictObject({ difference: estimateSchema.nullable(), p: z.number().nullable() }),
});

/** Names of what a mixed model of ratings holds, and why it lacks something. */
export const modelWords = {
  conditions: ['excerpt', 'position', 'exposure'],
  varying: ['listener-prototype', 'session', 'trial', 'unit'],
  leftOut: ['same-for-all', 'not-repeated', 'one-session', 'one-unit-each', 'too-few-ratings', 'not-told-apart'],
  none: ['too-few', 'told-exactly', 'not-converged'],
} as const;

const model = z.strictObject({
  fixed: z.array(z.enum(['listener', 'prototype', ...modelWords.conditions])),
  /** Standard deviations in points. */
  random: z.array(z.strictObject({ term: z.enum(modelWords.varying), standardDeviation: z.number() })),
  residual: z.number().nullable(),
  leftOut: z.array(
    z.strictObject({
      term: z.enum([...modelWords.conditions, ...modelWords.varying]),
      reason: z.enum(modelWords.leftOut),
    }),
  ),
  /** Whether the prototypes differ at all. */
  prototypes: z
    .strictObject({ f: z.number(), numerator: z.number(), denominator: z.number(), p: z.number() })
    .nullable(),
  /** A variance came out at zero. */
  singular: z.boolean(),
  /** Why there is no model, and all else is empty. */
  reason: z.enum(modelWords.none).nullable(),
});
export type ModelFindings = z.infer<typeof model>;

/** How ratings of one prototype lie, each listener's mean one of them. */
const spread = z.strictObject({
  prototype: z.string(),
  listeners: z.int(),
  median: z.number(),
  /** Quartiles. */
  lower: z.number(),
  upper: z.number(),
  /** They gather in two places rather than one. */
  twoPeaks: z.boolean(),
});

/**
 * Listeners left out by the rule of the plan, which leans to neither of two samples that are compared; where one of them
 * is the reference, everybody's answers must show a difference, too.
 */
const screening = z.strictObject({
  rule: z.enum(['reference-and-anchor', 'reference-told']),
  kept: z.int(),
  dropped: z.array(
    z.strictObject({
      listener: z.string(),
      /** Times that broke the rule, and out of how many. */
      misses: z.int(),
      of: z.int(),
      /** Of the rule that tests. */
      p: z.number().nullable(),
    }),
  ),
  /** The primary comparison with everybody, and what it would have been. */
  all: ratingPair,
  verdictOfAll: z.enum(verdicts),
});

/** What the order in a pair did, all pairs together, the sign not turned. */
const orderEffect = z.strictObject({
  mean: estimateSchema.nullable(),
  p: z.number().nullable(),
  listeners: z.int(),
  /** Of pairs with one sample twice, where there were any. */
  nullPairs: z.strictObject({ mean: estimateSchema.nullable(), p: z.number().nullable(), trials: z.int() }).nullable(),
});

/** Where a hidden reference and another sample were graded in each trial: how often it was graded above that, alike, below. */
const hiddenReference = z.strictObject({ trials: z.int(), told: z.int(), same: z.int(), misjudged: z.int() });

const penaltySide = z.strictObject({
  share,
  drop: z.number().nullable(),
  p: z.number().nullable(),
  pAdjusted: z.number().nullable(),
});
/** What too little or too much of something costs in liking. */
const penalty = z.strictObject({
  scale: z.string(),
  prototype: z.string(),
  listeners: z.int(),
  right: share,
  low: penaltySide,
  high: penaltySide,
});

const repeatedTicks = z.strictObject({ times: z.int(), alike: z.int() });
/** A word that was ticked, or not. */
const ticked = z.strictObject({
  attribute: z.string(),
  primary: z.boolean(),
  /** Who said of every prototype whether it fits. */
  listeners: z.int(),
  /** Cochran's Q over all prototypes; null where everybody ticks all alike. */
  q: z.strictObject({ q: z.number(), degreesOfFreedom: z.int(), p: z.number() }).nullable(),
  shares: z.array(estimateSchema.extend({ prototype: z.string() })),
  pairs: z.array(
    z.strictObject({
      first: z.string(),
      second: z.string(),
      difference: estimateSchema.nullable(),
      p: z.number().nullable(),
      pAdjusted: z.number().nullable(),
    }),
  ),
  /** Mean liking where it was ticked less where it wasn't, over listeners; null without liking. */
  liking: z
    .strictObject({ difference: estimateSchema.nullable(), p: z.number().nullable(), listeners: z.int() })
    .nullable(),
  /** How often a listener who heard a sample again said the same of the word; left out where nobody did. */
  again: z.strictObject({ withinDay: repeatedTicks.nullable(), acrossDays: repeatedTicks.nullable() }).optional(),
});

/** How one listener rates, on the scale of the verdict; describes, and leaves nobody out. */
const rater = z.strictObject({
  listener: z.string(),
  /** Whether own ratings tell the prototypes apart. */
  discriminationP: z.number().nullable(),
  repeatabilitySd: z.number().nullable(),
  /** Correlation with the mean of the others. */
  agreement: z.number().nullable(),
  /** Own mean less that of the panel. */
  bias: z.number(),
  note: z.enum(['at-random', 'the-other-way']).nullable(),
});

/** Ratings on scales; null for methods that have none. */
const ratings = z.strictObject({
  scales: z.array(
    z.strictObject({
      scale: z.string(),
      primary: z.boolean(),
      listeners: z.int(),
      ratings: z.int(),
      late: z.int(),
      means: z.array(estimateSchema.extend({ prototype: z.string() })),
      model,
      blocks: z.strictObject({ f: z.number().nullable(), p: z.number().nullable() }).nullable(),
      friedman: z.strictObject({ chiSquare: z.number(), p: z.number() }).nullable(),
      pairs: z.array(ratingPair),
      /** Left out where first impressions are rated, as before there was any. */
      spreads: z.array(spread).optional(),
    }),
  ),
  withoutLate: ratingPair.nullable(),
  late: z.int(),
  ratings: z.int(),
  screening: screening.optional(),
  orderEffect: orderEffect.optional(),
  hiddenReference: hiddenReference.optional(),
  penalties: z.array(penalty).optional(),
  ticked: z.array(ticked).optional(),
  raters: z.array(rater).optional(),
  /** Means of units on the scale of the verdict, where a prototype has two of them. */
  units: z
    .array(z.strictObject({ unit: z.string(), prototype: z.string(), mean: z.number(), ratings: z.int() }))
    .optional(),
});
export type Spread = z.infer<typeof spread>;
export type ScreeningFindings = z.infer<typeof screening>;
export type OrderEffect = z.infer<typeof orderEffect>;
export type HiddenReference = z.infer<typeof hiddenReference>;
export type Penalty = z.infer<typeof penalty>;
export type Ticked = z.infer<typeof ticked>;
export type RaterFindings = z.infer<typeof rater>;

export const resultSchema = z.strictObject({
  audience: z.string(),
  audienceName: z.string(),
  method: z.string(),
  verdict: z.enum(verdicts),
  sentence: z.string(),
  estimate: estimateSchema.nullable(),
  p: z.number().nullable(),
  pAdjusted: z.number().nullable(),
  decidedBy: z.string(),
  n: z.strictObject({ listeners: z.int(), trials: z.int(), days: z.int(), units: z.int() }),
  power: z.number(),
  alsoPossible: z.strictObject({ lower: z.number(), upper: z.number() }).nullable(),
  /** How many listeners, or in how many sittings each the same ones; null: in none that a plan may have. */
  wouldSettle: z.strictObject({ listeners: z.int(), sittings: z.int().nullable().optional() }).nullable(),
  /** The prototype that was preferred, or rated higher, where the verdict names one. */
  preferred: z.string().nullable(),
  pairs: z.array(pair),
  difference: difference.nullable(),
  yesNo: yesNo.optional(),
  /** Of a plan with looks. */
  looks: looksDetailSchema.optional(),
  ratings: ratings.nullable(),
  /** An order; left out for other methods. */
  ranking: rankingFindingsSchema.optional(),
  scores: z
    .strictObject({
      scores: z.array(
        z.strictObject({
          prototype: z.string(),
          logWorth: z.number(),
          lower: z.number().nullable(),
          upper: z.number().nullable(),
        }),
      ),
      level: z.number(),
      resamples: z.int(),
      separated: z.int(),
      halfWinAdded: z.boolean(),
      reason: z.string().nullable(),
    })
    .nullable(),
  otherRule: z
    .strictObject({ rule: z.enum(['split', 'drop']), share: z.number().nullable(), p: z.number().nullable() })
    .nullable(),
  warnings: z.array(z.string()),
});

const repeatability = z.strictObject({
  /** Listener × prototype that were rated again. */
  pairs: z.int(),
  icc: estimateSchema.nullable(),
  bias: z.number(),
  lower: z.number(),
  upper: z.number(),
});

/** What time did to the ratings of one scale in one audience. */
export const habituationSchema = z.strictObject({
  audience: z.string(),
  scale: z.string(),
  /** Mean over listeners in their first, second … sitting. */
  sittings: z.array(
    z.strictObject({ sitting: z.int().min(1), prototype: z.string(), mean: z.number(), listeners: z.int().min(1) }),
  ),
  /** A null prototype stands for all together. */
  firstAgainstLater: z.array(
    z.strictObject({ prototype: z.string().nullable(), difference: estimateSchema.nullable(), listeners: z.int() }),
  ),
  drift: z.array(
    z.strictObject({
      prototype: z.string().nullable(),
      slope: estimateSchema.nullable(),
      p: z.number().nullable(),
      listeners: z.int(),
    }),
  ),
  pAdjusted: z.number().nullable(),
  word: z.enum(['drifting', 'stable', 'unknown']),
  repeatability: z.strictObject({ withinDay: repeatability.nullable(), acrossDays: repeatability.nullable() }),
});
