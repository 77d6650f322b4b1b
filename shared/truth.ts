import { z } from 'zod';

/** TRUTH: what there is to hear, and who listens, in a study that is played by simulated listeners. */

/** In points as they are read: some scales have a hundred of them. */
const spread = z.number().min(0).max(100);
const points = z.number().min(-100).max(100);
const logit = z.number().min(-10).max(10);
const share = z.number().min(0).max(1);

/** What is left out is zero. */
export const truthSchema = z.strictObject({
  /** Share of listeners who hear a difference at all. */
  listenersWhoHear: share.optional(),
  /** For them: distance of the two samples, in standard deviations of one impression. */
  dPrime: z.number().min(0).max(10).optional(),
  /** Or, where `dPrime` is left out: the share of trials in which they truly hear it; in the others they guess. */
  heard: share.optional(),
  /** Log worth of each prototype, by id: of two that are a apart the better is preferred with odds exp(a). */
  worth: z.record(z.string(), logit).optional(),
  /**
   * Mean of each prototype on each scale, by ids, in points from the middle of the scale, as they are read. Of a word that
   * may be ticked: the logit of the chance that it is.
   */
  ratings: z.record(z.string(), z.record(z.string(), points)).optional(),
  /** Standard deviations, in points: of listeners' levels. */
  listenerSd: spread.optional(),
  /** Of listeners' own tastes (listener × prototype); in log worth where samples are put in order. */
  interactionSd: spread.optional(),
  /** Of a listener's days. */
  sessionSd: spread.optional(),
  /** Of the units of one prototype. */
  unitSd: spread.optional(),
  /** Of what is left of a single rating. */
  residualSd: spread.optional(),
  /** Points that every further hearing of a prototype adds to its ratings. */
  driftPerExposure: points.optional(),
  /** Share of listeners who grade the wrong way round: what is better to others is worse to them. */
  inverted: share.optional(),
  /** Share of listeners who grade at random, whatever they hear. */
  random: share.optional(),
  /** A habit of answering, on the logit scale: over 0 toward the first sample. In points where samples are graded together. */
  positionBias: points.optional(),
  /** Share of sittings that don't take place. */
  dropOut: share.optional(),
  /** How far tastes differ over listeners, 0 to 1: the overdispersion of a beta-binomial. */
  gamma: share.optional(),
  /** Share of answers that are “no preference”, where it is offered. */
  noneRate: share.optional(),
});
export type TruthDocument = z.infer<typeof truthSchema>;
export type TruthField = keyof TruthDocument;
