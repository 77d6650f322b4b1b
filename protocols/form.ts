import type { FirstImpression } from '../shared/plan';
import type { Scale } from '../shared/scales';

/** Two or more samples one after the other, then one question with one answer. */
export interface PickOneForm {
  kind: 'pick-one';
  /** Key of the question that the listener reads. */
  question: 'question.prefer' | 'question.match';
  /** How many samples a trial has. */
  presentations: number;
  /** Which of them may be picked, by place from 0. */
  choices: number[];
  /** Place of the sample that must equal one of the choices, from 0; null where there is none. */
  matched: number | null;
  /** Key of the answer that picks none, or null when a choice is forced. */
  none: 'answer.none' | null;
  /** Whether the listener may add words about each sample afterwards. */
  words: boolean;
}

/** One sample in a window of exposure, rated on scales from its first sound on. */
export interface ScalesForm {
  kind: 'scales';
  question: 'question.rate';
  presentations: 1;
  scales: Scale[];
  impression: FirstImpression;
}

/**
 * How a method asks. A form holds keys of words, never the words, so that a new method needs no new page; only the
 * words of scales come with the plan. Further kinds join this union as methods need them.
 */
export type Form = PickOneForm | ScalesForm;
