import { z } from 'zod';

/**
 * What FINDINGS say of each listener of one audience, by the kind of answers: what they tell apart, whether they repeat
 * themselves, and, where answers can be right or describe a sample, how they lie beside the others'. It describes, and
 * leaves nobody out.
 */

const count = z.int().min(0);
const p = z.number().nullable();
const listener = z.string();
/** Only with a test, corrected over listeners, and only where the panel as a whole tells the samples apart. */
const note = z.enum(['at-random', 'the-other-way']).nullable();

/** Of control trials with a difference that everybody should tell; null where the plan has none for this listener. */
const known = z.strictObject({ right: count, trials: count }).nullable();

/** Whether the panel as a whole tells apart what listeners are judged by, and at which level. */
const panel = { panelP: p, level: z.number(), told: z.boolean() };

const right = z.strictObject({
  audience: z.string(),
  kind: z.literal('right'),
  chance: z.number(),
  ...panel,
  /** How likely right answers would be so uneven over listeners if all heard it alike. */
  unevenP: p,
  listeners: z.array(
    z.strictObject({
      listener,
      correct: count,
      trials: count,
      sessions: z.array(z.strictObject({ sessionNumber: count, correct: count, trials: count })),
      /** Right answers between which 95 of 100 of those who guess come to lie. */
      guessing: z.strictObject({ lower: count, upper: count }),
      /** So many right or more by guessing, exact; then corrected over listeners by Holm. */
      p: z.number(),
      pAdjusted: z.number(),
      known,
      note,
    }),
  ),
});

const yesNo = z.strictObject({
  audience: z.string(),
  kind: z.literal('yes-no'),
  ...panel,
  listeners: z.array(
    z.strictObject({
      listener,
      hits: count,
      signalTrials: count,
      falseAlarms: count,
      noiseTrials: count,
      /** Log-linear; null unless trials of both kinds were answered. */
      dPrime: z.number().nullable(),
      /** Leaning: over 0 toward no. */
      criterion: z.number().nullable(),
      p: z.number(),
      pAdjusted: z.number(),
      known,
      note,
    }),
  ),
});

/** Nothing here holds anybody against the others: a taste of one's own is no mistake. */
const preference = z.strictObject({
  audience: z.string(),
  kind: z.literal('preference'),
  listeners: z.array(
    z.strictObject({
      listener,
      trials: count,
      /** How often the sample heard first was chosen, the second, neither. */
      first: count,
      second: count,
      none: count,
      /** Pairs that were decided more than once, and those of them that went one way throughout. */
      repeatedPairs: count,
      repeatedAlike: count,
      /** How often a pair came again with a preference then and the time before, and how often that was the same one. */
      cameAgain: count,
      alikeAgain: count,
      circularTriads: z.strictObject({ triads: count, maximum: count, p: z.number() }).nullable(),
      /** Of controls: the same trial once more, one sample twice, a known difference. */
      again: z.strictObject({ same: count, trials: count }).nullable(),
      identical: z.strictObject({ first: count, second: count, none: count }).nullable(),
      chosen: z.strictObject({ known: count, other: count, none: count }).nullable(),
    }),
  ),
});

const ranking = z.strictObject({
  audience: z.string(),
  kind: z.literal('ranking'),
  listeners: z.array(
    z.strictObject({
      listener,
      rankings: count,
      /** Mean of Kendall's tau over every two of the listener's own rankings; null with one, or where none overlap. */
      ownTau: z.number().nullable(),
      /** Of controls: the same samples once more in a sitting. */
      again: z.strictObject({ tau: z.number(), trials: count }).nullable(),
      /** Correlation of mean ranks with those of the others. Describes tastes, and judges nobody. */
      withOthers: z.number().nullable(),
    }),
  ),
});

const rated = z.strictObject({
  scale: z.string(),
  primary: z.boolean(),
  /** What is graded: samples, differences from the reference, or pairs. */
  of: z.enum(['samples', 'differences', 'pairs']),
  /** By F over blocks of listeners, or by the smallest corrected p of the pairs. */
  by: z.enum(['blocks', 'pairs']),
  ...panel,
  /** Liking, or what a study of preference rests on: nobody is held against the others. */
  taste: z.boolean(),
  listeners: z.array(
    z.strictObject({
      listener,
      ratings: count,
      discriminationP: p,
      repeatabilitySd: z.number().nullable(),
      /** Of ratings of one sample in one sitting, and of the means of sittings. */
      withinSd: z.number().nullable(),
      acrossSd: z.number().nullable(),
      /** Left out where it is a matter of taste. */
      agreement: z.number().nullable().optional(),
      bias: z.number(),
      lowest: z.number(),
      highest: z.number(),
      note,
    }),
  ),
});

const rating = z.strictObject({
  audience: z.string(),
  kind: z.literal('rating'),
  /** The primary one first; of the others those that the panel tells apart. */
  scales: z.array(rated),
  /** Others, by which nobody is judged. */
  notTold: z.array(z.string()),
  /** Words to tick that the panel tells apart, ticked or not for the same sample again. */
  ticked: z
    .strictObject({
      words: z.array(z.string()),
      listeners: z.array(
        z.strictObject({ listener, ticks: count, asked: count, repeated: count, alike: count, kappa: p }),
      ),
    })
    .nullable(),
  /** Of controls: mean distance of two ratings of a sample; the second of two that are one sample beside the first. */
  again: z.array(z.strictObject({ listener, apart: z.number(), trials: count })),
  identical: z.array(z.strictObject({ listener, mean: z.number(), trials: count })),
});

export const listenersSchema = z.discriminatedUnion('kind', [right, yesNo, preference, ranking, rating]);
export type ListenersFindings = z.infer<typeof listenersSchema>;
export type ListenersOf<K extends ListenersFindings['kind']> = Extract<ListenersFindings, { kind: K }>;
export type RatedListeners = z.infer<typeof rated>;
