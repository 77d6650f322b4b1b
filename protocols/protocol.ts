import type { ZodType } from 'zod';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId, UnitId } from '../shared/brands';
import type { Aim, Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { Verdict } from '../shared/verdicts';
import type { SentRating } from '../shared/wire';
import type { Form } from './form';
import type { Random, Randomness } from './random';

export type Family = 'difference' | 'preference' | 'ranking' | 'rating' | 'threshold';

/** The seat for which a trial is drawn: its address in the study. Both numbers count from 1. */
export interface Seat {
  audience: AudienceId;
  /** Who took a seat first in this audience is 1. */
  ordinal: number;
  /** Which of the listener's own sittings this is; balance is over listeners' first, second … sittings. */
  sitting: number;
}

/** A trial as the method wants it: which prototypes, in which order. Units and codes are added by the draw. */
export interface TrialDesign {
  /** Counts from 1 within the sitting; the practice trial is 0. */
  ordinal: number;
  practice: boolean;
  presentations: PrototypeId[];
  /** Order in which the answers, or the scales, stand on the page: a permutation of 0 … their number − 1. */
  shown: number[];
  /** The trial that this one puts again, after a mix-up. */
  replaces: number | null;
}

/** What became of a trial that was designed before. */
export interface TrialPast {
  design: TrialDesign;
  /** `open` covers all that is planned or under way. */
  state: 'open' | 'answered' | 'void' | 'lost';
}

/** What a phone sends as an answer: what was picked (a code or `none`), or all scales of a first impression. */
export type SentAnswer =
  | { picked: string }
  | { ratings: readonly (Pick<SentRating, 'scale' | 'value'> & { touchedMs: number | null })[] };

/** One value out of an answer. */
export interface Scored {
  /** Null where the method has no scales. */
  scale: string | null;
  value: number;
  /** Past the time that the plan allows. */
  late: boolean;
}

/** One scored value, joined with what was heard; exists only after unsealing. An answer on k scales is k outcomes. */
export interface Outcome {
  listener: ListenerId;
  audience: AudienceId;
  session: SessionId;
  /** Of the study, from 1. */
  sessionNumber: number;
  sitting: SittingId;
  /** Of the listener, from 1. */
  sittingNumber: number;
  trial: TrialId;
  /** Null where the method has no scales. */
  scale: string | null;
  /** In the order of presentation. */
  prototypes: PrototypeId[];
  units: UnitId[];
  excerpt: string | null;
  position: number;
  /**
   * How often this listener had heard the sample by then, this time and what was declared from outside included;
   * summed over the samples of a trial with several.
   */
  exposure: number;
  late: boolean;
  flags: string[];
  value: number;
}

export interface Estimate {
  name: string;
  value: number;
  lower: number;
  upper: number;
  level: number;
}

/** What the data say about one pair of prototypes in one audience. */
export interface PairResult {
  first: PrototypeId;
  second: PrototypeId;
  primary: boolean;
  /** Share of preferences for `first`, each listener weighing the same; null when nobody preferred either. */
  share: Estimate | null;
  /** Two- or one-sided, as planned, with the listener as the unit; null when no listener has a net preference. */
  p: number | null;
  pAdjusted: number | null;
  listeners: number;
  trials: number;
  wins: number;
  losses: number;
  none: number;
  /** Pooled over listeners: every answer counted as if it came from a person of its own. Shown, never decisive. */
  pooled: { share: number | null; p: number | null; trialsUsed: number };
}

export interface Score {
  prototype: PrototypeId;
  logWorth: number;
  lower: number | null;
  upper: number | null;
}

export interface Consistency {
  listener: ListenerId;
  /** Pairs put more than once with a preference each time, and how many of those went the same way throughout. */
  repeatedPairs: number;
  repeatedAlike: number;
  circularTriads: { triads: number; maximum: number; p: number } | null;
}

/** Right answers, for a method whose answers are right or wrong. */
export interface DifferenceDetail {
  correct: number;
  trials: number;
  /** Right answers from which on the difference is shown, at the α that this audience was tested at; null: no count is. */
  critical: number | null;
  /** Share of right answers. */
  share: Estimate | null;
  /** Share of trials in which the difference was truly heard, lucky guesses taken off; the same interval. */
  heard: Estimate | null;
  /** Chance that a study of this size misses a difference that is truly heard in such a share of trials. */
  misses: { heard: number; miss: number }[];
  /** Rights of each listener by session; describes, and decides nothing. */
  listeners: {
    listener: ListenerId;
    correct: number;
    trials: number;
    sessions: { sessionNumber: number; correct: number; trials: number }[];
  }[];
}

export interface MeanRating extends Estimate {
  prototype: PrototypeId;
}

/** A difference of two prototypes on a scale, over listeners' own means. */
export interface RatingPair {
  first: PrototypeId;
  second: PrototypeId;
  /** Mean of `first` minus mean of `second`. */
  difference: Estimate | null;
  p: number | null;
  pAdjusted: number | null;
}

export interface ScaleResult {
  scale: string;
  /** The scale that the verdict rests on. */
  primary: boolean;
  /** Who rated every prototype on it; the others fall out of the blocks. */
  listeners: number;
  ratings: number;
  late: number;
  means: MeanRating[];
  /** Do the prototypes differ at all: blocks of listeners. */
  blocks: { f: number | null; p: number | null } | null;
  friedman: { chiSquare: number; p: number } | null;
  pairs: RatingPair[];
}

export interface RatingDetail {
  scales: ScaleResult[];
  /** The primary comparison without the answers that came late; null when none did. */
  withoutLate: RatingPair | null;
  late: number;
  ratings: number;
}

/** What time did to the ratings of one scale in one audience. */
export interface Habituation {
  audience: AudienceId;
  scale: string;
  /** Later sessions minus the first, over listeners: one entry a prototype, and one for all (null). */
  firstAgainstLater: { prototype: PrototypeId | null; difference: Estimate | null; listeners: number }[];
  /** Points per session, over listeners' own slopes: one entry a prototype, and one for all (null). */
  drift: { prototype: PrototypeId | null; slope: Estimate | null; p: number | null; listeners: number }[];
  /** The p of the drift of all prototypes together, corrected over audiences on the primary scale. */
  pAdjusted: number | null;
  /** By test; `stable` only by equivalence to the plan's margin over all planned sessions; else `unknown`. */
  word: 'drifting' | 'stable' | 'unknown';
  /** The same sample again: in the same sitting, and on another day. */
  repeatability: { withinDay: Repeatability | null; acrossDays: Repeatability | null };
}

export interface Repeatability {
  /** Listener × prototype that were rated again; within a day each sitting in which they were. */
  pairs: number;
  /** ICC, two-way random, single; null where it can't be computed. */
  icc: Estimate | null;
  /** Second rating less the first, and its limits of agreement (Bland and Altman). */
  bias: number;
  lower: number;
  upper: number;
}

/** Whether audiences answer alike, by permuting them over listeners; decides whether anything might be pooled. */
export interface Interaction {
  statistic: number;
  p: number;
  permutations: number;
  /** What was compared: a listener's share of preferences, share of right answers, or difference in points. */
  of: 'share' | 'correct' | 'points';
}

/** A method's word on one audience. What doesn't belong to the family of the method is null or empty. */
export interface AudienceResult {
  audience: AudienceId;
  verdict: Verdict;
  /** What the verdict rests on, with its interval, and its test. */
  estimate: Estimate | null;
  p: number | null;
  pAdjusted: number | null;
  /** Of a preference: the pair that the plan put first. */
  primary: PairResult | null;
  /** The prototype that was preferred, or rated higher, when the verdict names one. */
  preferred: PrototypeId | null;
  pairs: PairResult[];
  difference: DifferenceDetail | null;
  ratings: RatingDetail | null;
  /** Null for two prototypes. */
  scores: {
    scores: Score[];
    level: number;
    resamples: number;
    /** Resamples without finite scores, half a win being added there alone; 0 where it was added throughout. */
    separated: number;
    halfWinAdded: boolean;
    reason: string | null;
  } | null;
  consistency: Consistency[];
  n: { listeners: number; trials: number; days: number; units: number };
  power: number;
  /** What the data still allow, in the measure of the estimate. */
  alsoPossible: { lower: number; upper: number } | null;
  /** Listeners that would give the planned power, when the verdict is undecided. */
  wouldSettle: { listeners: number } | null;
  /** The share by the other rule for "no preference", for comparison; null when none was given. */
  otherRule: { rule: 'split' | 'drop'; share: number | null; p: number | null } | null;
  warnings: string[];
}

export interface Analysis {
  results: AudienceResult[];
  decidedBy: string;
  /** Null with one audience, or where too few answered to compare. */
  interaction: Interaction | null;
  /** An entry for each audience and scale; none where no sample was rated twice. */
  habituation: Habituation[];
}

/** What a virtual listener is made of; what is missing is zero. */
export interface Truth {
  /** Log worth of each prototype. */
  worth?: Record<string, number>;
  /** Spread of listeners' own tastes, 0 … 1: the overdispersion of a beta-binomial. */
  gamma?: number;
  /** Pull toward the first presentation, on the logit scale. */
  positionBias?: number;
  /** Chance of answering "no preference" where it is offered. */
  noneRate?: number;
  /** Share of listeners who hear a difference, and in what share of trials they truly hear it (1 when left out). */
  listenersWhoHear?: number;
  heard?: number;
  /** Mean of each prototype on each scale, in points from its middle. */
  ratings?: Record<string, Record<string, number>>;
  /** Standard deviations in points: of listeners' own levels, of their tastes (listener × prototype), of days, of the rest. */
  listenerSd?: number;
  interactionSd?: number;
  sessionSd?: number;
  residualSd?: number;
  /** Points per session, on every scale and prototype alike. */
  driftPerSession?: number;
}

/** A trial as a virtual listener meets it. */
export interface Meeting {
  design: TrialDesign;
  form: Form;
  /** Of the listener, from 1. */
  sitting: number;
}

export interface Protocol<Spec, Answer, Listener = unknown> {
  id: string;
  family: Family;
  /** What a plan that takes this method is after. */
  aim: Aim;
  /** Measure of the smallest effect worth finding. */
  smallest: Plan['risks']['smallest']['kind'];
  /** Probability of a right answer by guessing; null where no answer is right or wrong. */
  chance: number | null;
  standards: string[];
  spec: ZodType<Spec>;
  /** What in a plan stands against this method, beyond what its spec can say by itself. */
  problems(spec: Spec, plan: Plan): Problem[];
  form(spec: Spec, plan: Plan): Form;
  /** How many trials a sitting has, without practice. */
  trials(spec: Spec, plan: Plan): number;
  /** Samples in the practice trial: 0 where practice is on the page alone. */
  practicePresentations(spec: Spec): number;
  /** The next trial of a sitting, or `done`. Pure: same arguments, same trial. */
  next(spec: Spec, plan: Plan, seat: Seat, history: readonly TrialPast[], randomness: Randomness): TrialDesign | 'done';
  answer(form: Form): ZodType<Answer>;
  /** What a phone sent for a trial, as the method's answer; null when it offers no such thing. */
  read(form: Form, codes: readonly string[], sent: SentAnswer): Answer | null;
  /** Called by `server/blinding` alone. */
  score(form: Form, trial: TrialDesign, answer: Answer): Scored[];
  analyse(outcomes: readonly Outcome[], plan: Plan, options?: { resamples?: number }): Analysis;
  /** Draws a virtual listener's own ears and tastes. */
  listener(truth: Truth, plan: Plan, random: Random): Listener;
  /** What this virtual listener answers. */
  simulate(truth: Truth, listener: Listener, meeting: Meeting, random: Random): Answer;
}
