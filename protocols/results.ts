import type { AudienceId, ListenerId, PrototypeId } from '../shared/brands';
import type {
  HiddenReference,
  ModelFindings,
  modelWords,
  OrderEffect,
  Penalty,
  RaterFindings,
  ScreeningFindings,
  Spread,
  Ticked,
} from '../shared/findings-result';
import type { Verdict } from '../shared/verdicts';

/** What a method says of a study: its word on each audience, with all that stands beside it. */

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
  /** Share of trials in which the difference was truly heard, lucky guesses taken off. */
  heard: Estimate | null;
  /**
   * Whose trials it is a share of: the average listener's, listeners differing as they may, its interval over listeners;
   * or all together, where fewer than two answered or each answered once. Null without answers.
   */
  heardOf: 'average-listener' | 'all-trials' | null;
  /** How likely right answers would be so uneven over listeners if all heard it alike; null with all trials together. */
  unevenP: number | null;
  /** Chance that a study of this size misses a difference that is truly heard in such a share of trials. */
  misses: { heard: number; miss: number }[];
  /** Rights of each listener by session; describes, and decides nothing. */
  listeners: {
    listener: ListenerId;
    correct: number;
    trials: number;
    sessions: { sessionNumber: number; correct: number; trials: number }[];
  }[];
  /** Only where the plan is after similarity. */
  similarity?: SimilarityDetail;
}

/** Whether a difference is too seldom heard to matter. */
export interface SimilarityDetail {
  /** Share of trials truly heard from which on it would matter. */
  limit: number;
  /** One-sided limit on the share truly heard, at 1 − β. */
  upper: number;
  level: number;
  /** Each listener answered once, so that counts are exact; or listeners differ, and are the unit. */
  by: 'exact-count' | 'over-listeners';
  /** The most right answers with which similarity is shown, by an audience alone; null where no count would. */
  most: number | null;
}

/** Answers of two kinds about two kinds of trials: the rate of saying yes is each listener's own. */
export interface YesNoDetail {
  hits: number;
  signalTrials: number;
  falseAlarms: number;
  noiseTrials: number;
  hitRate: Estimate | null;
  falseAlarmRate: Estimate | null;
  /** How much oftener yes was said to the one than to the other, over listeners. */
  apart: Estimate | null;
  dPrime: Estimate | null;
  /** Leaning: over 0 toward no. */
  criterion: number | null;
  misses: { dPrime: number; miss: number }[];
  listeners: {
    listener: ListenerId;
    hits: number;
    signalTrials: number;
    falseAlarms: number;
    noiseTrials: number;
  }[];
}

/** Prototypes put in order. */
export interface RankingDetail {
  /** `friedman`, `page` or `durbin`, by design and plan. */
  test: 'friedman' | 'page' | 'durbin';
  statistic: number | null;
  degreesOfFreedom: number | null;
  /** By the published statistic and its usual p; the deciding p stands in the result. */
  approximateP: number | null;
  /** What the deciding permutation turned: ranks of each listener among prototypes, or each listener's rankings as a whole. */
  turned: 'ranks-of-listeners' | 'whole-listeners';
  /** Whether every arrangement was counted. */
  exact: boolean;
  rankings: number;
  /** Samples in a ranking. */
  size: number;
  /** False where sittings were missed so that some prototypes met more often than others. */
  balanced: boolean;
  /** In the order that came out, the best first; 1 is the best rank. Without an interval where no spread was seen. */
  ranks: {
    prototype: PrototypeId;
    rankSum: number;
    meanRank: number;
    times: number;
    lower: number | null;
    upper: number | null;
  }[];
  /** Of the intervals of mean ranks, which are over listeners. */
  level: number;
  pairs: {
    first: PrototypeId;
    second: PrototypeId;
    primary: boolean;
    /** Mean rank of `first` less that of `second`: below 0, `first` is ahead. */
    difference: number;
    /** Share of rankings that put `first` before `second`. */
    share: Estimate | null;
    p: number;
    pAdjusted: number;
    separated: boolean;
  }[];
  /** Those that can't be told apart, neighbours first; a prototype may be in several groups. */
  groups: PrototypeId[][];
  /** Kendall's W; null in incomplete blocks. */
  agreement: number | null;
}

/** How a plan with looks came to its end, in one audience. */
export interface LooksDetail {
  kind: 'sequential' | 'always-valid';
  bounds: 'strict' | 'wald' | null;
  /** α that the plan attains at most, by its bounds. */
  attainedAlpha: number;
  state: 'go-on' | 'shown' | 'none-shown';
  /** At which counted answer it was decided; null while it goes on. */
  decidedAt: number | null;
  counted: number;
  /** Answers after the decision: kept, marked, and not counted. */
  after: number;
  /** Log likelihood ratio, or log e-value, after each counted answer. */
  path: number[];
  upper: number;
  /** Null where the plan never ends without a finding. */
  lower: number | null;
  /** Of the counted answers: the share of those for the effect, by limits that hold whenever one stops. */
  share: Estimate | null;
  /** What a test looked at once at its end would say of all answers. Shown, never decisive. */
  fixed: { p: number | null; answers: number };
}

export interface MeanRating extends Estimate {
  prototype: PrototypeId;
}

/** A difference of two prototypes on a scale: by the model where there is one, else over listeners' own means. */
export interface RatingPair {
  first: PrototypeId;
  second: PrototypeId;
  /** Mean of `first` minus mean of `second`. */
  difference: Estimate | null;
  /** Of its test. */
  degreesOfFreedom: number | null;
  p: number | null;
  pAdjusted: number | null;
  /** The same by a paired t test over listeners' own means, which decides where there is no model. */
  byMeans: { difference: Estimate | null; p: number | null };
}

/** A term that a model doesn't hold, since who heard what and when can't tell it. */
export type LeftOut = ModelFindings['leftOut'][number];
export type FixedTerm = (typeof modelWords.conditions)[number];
export type RandomTerm = (typeof modelWords.varying)[number];
/** The mixed model of one scale's ratings. */
export type ModelSummary = ModelFindings;

export interface ScaleResult {
  scale: string;
  /** The scale that the verdict rests on. */
  primary: boolean;
  /** Who rated every prototype on it; the others fall out of the blocks. */
  listeners: number;
  ratings: number;
  late: number;
  means: MeanRating[];
  model: ModelSummary;
  /** Do the prototypes differ at all: blocks of listeners. */
  blocks: { f: number | null; p: number | null } | null;
  friedman: { chiSquare: number; p: number } | null;
  pairs: RatingPair[];
  spreads?: Spread[];
}

export interface RatingDetail {
  scales: ScaleResult[];
  /** The primary comparison without the answers that came late; null when none did. */
  withoutLate: RatingPair | null;
  late: number;
  ratings: number;
  /** Of methods, and plans, that have it; left out elsewhere. */
  screening?: Omit<ScreeningFindings, 'dropped'> & {
    dropped: (Omit<ScreeningFindings['dropped'][number], 'listener'> & { listener: ListenerId })[];
  };
  orderEffect?: OrderEffect;
  hiddenReference?: HiddenReference;
  penalties?: Penalty[];
  ticked?: Ticked[];
  raters?: (Omit<RaterFindings, 'listener'> & { listener: ListenerId })[];
  units?: { unit: string; prototype: string; mean: number; ratings: number }[];
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
  /** What was compared of each listener: share of preferences or of right answers, hits less false alarms, points, or ticks. */
  of: 'share' | 'correct' | 'apart' | 'points' | 'ticked';
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
  /** Of methods that have it; left out elsewhere. */
  yesNo?: YesNoDetail;
  ranking?: RankingDetail;
  looks?: LooksDetail;
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
