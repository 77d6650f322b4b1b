import type { ZodType } from 'zod';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId, UnitId } from '../shared/brands';
import type { Aim, ControlKind, Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { SentRating } from '../shared/wire';
import type { Form } from './form';
import type { Random, Randomness } from './random';
import type { Analysis } from './results';

export type Family = 'difference' | 'preference' | 'ranking' | 'rating' | 'threshold';

/** What a form needs of a plan. Nothing of what is compared but its number: whoever makes pages with it doesn't know. */
export type AskedPlan = Pick<Plan, 'noPreference' | 'firstImpression'> &
  ({ prototypes: readonly unknown[] } | { samples: number });

/** How many samples a plan has. */
export const samplesIn = (plan: AskedPlan): number => ('samples' in plan ? plan.samples : plan.prototypes.length);

/** What a score may hang on beside the trial. */
export type ScoredPlan = Pick<Plan, 'primary' | 'controls'>;

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
  /**
   * Which time it is, from 0 and over all sittings, that a listener goes through the samples one by one: all of a round
   * are heard with one excerpt, another in the next. Left out: excerpts go by sitting, or by trial where a trial has several samples.
   */
  round?: number;
  /** It judges panel or samples and doesn't count for the verdict. Left out: it counts. */
  control?: ControlKind;
  /** Places, from 0, that take another unit of their prototype than the others. Left out: none. */
  otherUnits?: number[];
}

/** What became of a trial that was designed before. */
export interface TrialPast {
  design: TrialDesign;
  /** `open` covers all that is planned or under way. */
  state: 'open' | 'answered' | 'void' | 'lost';
}

/**
 * What a phone sends as an answer: what was picked (a code or `none`; by place, in order, or yes and no, as the form has
 * it), all scales of a first impression, or grades.
 */
export type SentAnswer =
  | { picked: string }
  | { ratings: readonly (Pick<SentRating, 'scale' | 'value'> & { touchedMs: number | null })[] }
  | SentGrades;

/** Grades as they are sent: places count from 1. */
export interface SentGrades {
  grades: readonly { place: number; scale: string; value: number }[];
  /** Of each graded sample, where words are ticked; an empty list: none of them. */
  ticks: readonly { place: number; attributes: readonly string[] }[];
}

/** One value out of an answer. */
export interface Scored {
  /** Null where the method has no scales. */
  scale: string | null;
  /** The sample that the value is about, by its place in the trial, from 0; of answers with a value for each sample. */
  place?: number;
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
  /** The sample that the value is about, by its place in the trial, from 0; of answers with a value for each sample. */
  place?: number;
  /** In the order of presentation. */
  prototypes: PrototypeId[];
  units: UnitId[];
  excerpt: string | null;
  /** Place of the trial in its sitting, from 1; 0 where nobody knows, of answers that were gathered elsewhere. */
  position: number;
  /**
   * How often this listener had heard the sample by then, this time and what was declared from outside included;
   * summed over the samples of a trial with several.
   */
  exposure: number;
  late: boolean;
  flags: string[];
  value: number;
  /** Of a control trial, which is analysed apart. */
  control?: ControlKind;
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
  /** For those who hear: distance of two samples in standard deviations of one impression. Counts before `heard`. */
  dPrime?: number;
  /** Share of sittings that don't take place. */
  dropOut?: number;
  /** Mean of each prototype on each scale, in points from its middle. */
  ratings?: Record<string, Record<string, number>>;
  /** Standard deviations in points: of listeners' own levels, of their tastes (listener × prototype), of days, of the rest. */
  listenerSd?: number;
  interactionSd?: number;
  sessionSd?: number;
  residualSd?: number;
  /** Points per session, on every scale and prototype alike. */
  driftPerSession?: number;
  /** Points per time that a sample was heard before by that listener. */
  driftPerExposure?: number;
  /** Share of listeners who grade the wrong way round, and of those who grade by chance. */
  inverted?: number;
  random?: number;
}

/** A trial as a virtual listener meets it. */
export interface Meeting {
  design: TrialDesign;
  form: Form;
  /** Of the listener, from 1. */
  sitting: number;
  /** How often the listener heard each sample of the trial before, by place. Left out: never. */
  heardBefore?: number[];
}

/**
 * What a method makes of a kind of control: `added` beside its own trials, `own` where it draws them itself, or why it
 * takes none, in a sentence for the plan page that says what to do instead.
 */
export type ControlRule = 'added' | 'own' | { refused: string };

export interface AnalyseOptions {
  resamples?: number;
  /**
   * For thousands of simulated panels: verdict and p as always, and nothing that takes long and decides nothing: no
   * intervals by likelihood or resampling, scores, power, interaction.
   */
  verdictOnly?: boolean;
  /** Answers to control trials, of which some methods say something beside. */
  controls?: readonly Outcome[];
  /** Is told of each audience before what takes long begins. */
  hears?(audience: string): void;
}

/** What a plan with looks counts, answer by answer, of one audience. */
export interface Evidence {
  /** In the order in which they came: 1 for the effect, 0 against it. */
  answers: (0 | 1)[];
  /** Probability of a 1 if there is nothing, and for the smallest effect worth finding. */
  p0: number;
  p1: number;
  alternative: 'greater' | 'two-sided';
}

export interface Protocol<Spec, Answer, Listener = unknown> {
  id: string;
  family: Family;
  /** What a plan that takes this method may be after. */
  aims: readonly Aim[];
  /** Measure of the smallest effect worth finding. */
  smallest: Plan['risks']['smallest']['kind'];
  /** Probability of a right answer by guessing; null where no answer is right or wrong. */
  chance: number | null;
  standards: string[];
  spec: ZodType<Spec>;
  /** What in a plan stands against this method, beyond what its spec can say by itself. */
  problems(spec: Spec, plan: Plan): Problem[];
  form(spec: Spec, plan: AskedPlan): Form;
  /** The spec without what names a prototype, for rooms that must not know any. Left out: it names none. */
  blindSpec?(spec: Spec): Spec;
  controls: Record<ControlKind, ControlRule>;
  /** A trial about these two alone, for controls that are added: same prototype twice for an identical pair. */
  controlTrial?(
    spec: Spec,
    plan: Plan,
    pair: readonly [PrototypeId, PrototypeId],
    randomness: Randomness,
  ): Pick<TrialDesign, 'presentations' | 'shown'>;
  /** How many trials a sitting has, without practice and controls. */
  trials(spec: Spec, plan: Plan): number;
  /** The most prototypes that it takes, where that is more or fewer than `planLimits.prototypes.usual`. */
  mostPrototypes?: number;
  /** Samples in the practice trial: 0 where practice is on the page alone. */
  practicePresentations(spec: Spec): number;
  /** The next trial of a sitting, or `done`. Pure: same arguments, same trial. */
  next(spec: Spec, plan: Plan, seat: Seat, history: readonly TrialPast[], randomness: Randomness): TrialDesign | 'done';
  answer(form: Form): ZodType<Answer>;
  /** What a phone sent for a trial, as the method's answer; null when it offers no such thing. */
  read(form: Form, codes: readonly string[], sent: SentAnswer): Answer | null;
  /** Called by `server/blinding` alone. `plan`: what the samples are to each other, where that decides what is right. */
  score(form: Form, trial: TrialDesign, answer: Answer, plan: ScoredPlan): Scored[];
  /** Outcomes of one plan, without controls; in the order in which they came where the plan has looks. */
  analyse(outcomes: readonly Outcome[], plan: Plan, options?: AnalyseOptions): Analysis;
  /**
   * Outcomes as tables by sitting and excerpt take them, where a rating of a sample is no answer by itself but follows
   * from answers. Left out: as they are.
   */
  rated?(outcomes: readonly Outcome[], plan: Plan): Outcome[];
  /** What looks count, by now where more may come (`running`). A method without it is of fixed size. */
  evidence?(outcomes: readonly Outcome[], plan: Plan, audience: AudienceId, options?: { running?: boolean }): Evidence;
  /** Draws a virtual listener's own ears and tastes. */
  listener(truth: Truth, plan: Plan, random: Random): Listener;
  /** What this virtual listener answers. */
  simulate(truth: Truth, listener: Listener, meeting: Meeting, random: Random): Answer;
}
