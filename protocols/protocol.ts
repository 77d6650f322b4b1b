import type { ZodType } from 'zod';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId, UnitId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { Verdict } from '../shared/verdicts';
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
  /** Order in which the answers stand on the page: a permutation of 0 … number of answers − 1. */
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

/** One scored answer, joined with what was heard; exists only after unsealing. */
export interface Outcome {
  listener: ListenerId;
  audience: AudienceId;
  session: SessionId;
  sitting: SittingId;
  trial: TrialId;
  /** In the order of presentation. */
  prototypes: PrototypeId[];
  units: UnitId[];
  excerpt: string | null;
  position: number;
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

/** A method's word on one audience. */
export interface AudienceResult {
  audience: AudienceId;
  verdict: Verdict;
  /** The pair that the plan put first. */
  primary: PairResult;
  /** Its direction, when the verdict names one. */
  preferred: PrototypeId | null;
  pairs: PairResult[];
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
  /** Shares that the data still allow, by the interval of the primary share. */
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
}

export interface Protocol<Spec, Answer> {
  id: string;
  family: Family;
  /** Probability of a right answer by guessing; null where no answer is right or wrong. */
  chance: number | null;
  standards: string[];
  spec: ZodType<Spec>;
  /** What in a plan stands against this method, beyond what its spec can say by itself. */
  problems(spec: Spec, plan: Plan): Problem[];
  form(spec: Spec, plan: Plan): Form;
  /** How many trials a sitting has, without practice. */
  trials(spec: Spec): number;
  /** The next trial of a sitting, or `done`. Pure: same arguments, same trial. */
  next(
    spec: Spec,
    form: Form,
    samples: readonly PrototypeId[],
    seat: Seat,
    history: readonly TrialPast[],
    randomness: Randomness,
  ): TrialDesign | 'done';
  answer(form: Form): ZodType<Answer>;
  /** What a phone sends for a trial (a code or `none`), as the method's answer; null when it offers no such thing. */
  read(form: Form, codes: readonly string[], sent: string): Answer | null;
  /** Called by `server/blinding` alone. */
  score(trial: TrialDesign, answer: Answer): number;
  analyse(outcomes: readonly Outcome[], plan: Plan, options?: { resamples?: number }): Analysis;
  /** A virtual listener. `taste` is what this listener's own preference adds, per pair; see the method. */
  simulate(truth: Truth, listener: VirtualListener, trial: TrialDesign, random: Random): Answer;
  /** Draws a virtual listener's own tastes. */
  listener(truth: Truth, samples: readonly PrototypeId[], random: Random): VirtualListener;
}

export interface VirtualListener {
  /** Chance that this listener prefers the first of a pair (key `first|second`, ids in sorted order). */
  preference: Record<string, number>;
}
