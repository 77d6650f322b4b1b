import type { FirstImpression } from '../shared/plan';
import type { AskedScale, Scale } from '../shared/scales';

/** Two or more samples one after the other, then one question with one answer. */
export interface PickOneForm {
  kind: 'pick-one';
  /** Key of the question that the listener reads. */
  question: 'question.prefer' | 'question.match' | 'question.odd' | 'question.same-as-first' | 'question.more';
  /** The plan's word for what one sample has more of; only with `question.more`. */
  attribute?: string;
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
  /**
   * Answers name the place of a sample in its trial, from 1, instead of its code: codes that last for a session would
   * give the answer away, so there the page doesn't show them. Left out: answers are codes.
   */
  byPlace?: true;
}

/** Several samples, and some of them belong together. Answers are places from 1, in order, joined by `+`. */
export interface PickGroupForm {
  kind: 'pick-group';
  question: 'question.two-groups' | 'question.two-alike';
  presentations: number;
  /** How many are picked. */
  size: number;
  /** Whether the others are a group of their own, so that picking them says the same. */
  bothGroups: boolean;
  byPlace: true;
}

/** Two answers to one question: about a pair, or about one sample after others were learnt. */
export interface YesNoForm {
  kind: 'yes-no';
  question: 'question.same' | 'question.learnt';
  presentations: number;
  /** Keys of the answers; they are sent as `yes` and `no`. `yes`: different; or: it is the one that was learnt. */
  yes: 'answer.different' | 'answer.learnt';
  no: 'answer.same' | 'answer.other';
  /** Samples of the practice trial that are learnt and not asked about, before the one that is; 0 for none. */
  learning: number;
  /** Place, from 0, of the one among them that is another than the one to learn. Left out: there is none. */
  another?: number;
  byPlace: true;
}

/** Several different samples are put in order. The answer is their codes, the first the best, joined by `>`. */
export interface InOrderForm {
  kind: 'in-order';
  question: 'question.order';
  presentations: number;
}

/** One sample in a window of exposure, rated on scales from its first sound on. */
export interface ScalesForm {
  kind: 'scales';
  question: 'question.rate';
  presentations: 1;
  scales: Scale[];
  impression: FirstImpression;
  /** Whether the listener may add a line of words afterwards. */
  words?: true;
}

/**
 * Samples that are graded, each on the same scales, or ticked with words; all of a trial stand together on the page where
 * it plays them, else each is graded as it is heard, and all once more at the end where there are several. The answer is
 * a number for each scale of each graded sample, and for each the words that were ticked.
 */
export interface GradesForm {
  kind: 'grades';
  question:
    | 'question.grade-each'
    | 'question.grade-one'
    | 'question.grade-second'
    | 'question.grade-against-reference'
    | 'question.grade-impairment';
  presentations: number;
  /** Places, from 0, of the samples that are graded. */
  graded: number[];
  /** Place of a sample that everybody is told is the reference, and that is not graded; null where there is none. */
  reference: number | null;
  scales: AskedScale[];
  /** Words to tick, all that apply; then none of them may be said, too, but not nothing. */
  attributes: { id: string; name: string; definition?: string }[];
}

/**
 * How a method asks. A form holds keys of words, never the words, so that a new method needs no new page; only the
 * words of scales come with the plan. Further kinds join this union as methods need them.
 */
export type Form = PickOneForm | PickGroupForm | YesNoForm | InOrderForm | ScalesForm | GradesForm;

/** A method that asks one question about samples that were heard one after the other, or all at once. */
export type AskingForm = Exclude<Form, ScalesForm | GradesForm>;

/**
 * Whether a trial holds one sample twice, or one that was learnt before: then whoever knows which samples are one and the
 * same knows the answer.
 */
export function holdsTwins(form: Form): boolean {
  if (form.kind !== 'pick-one') return form.kind === 'pick-group' || form.kind === 'yes-no';
  return form.matched !== null || (form.byPlace === true && form.presentations > 2);
}

/**
 * Whether the sample at that place of a trial, from 0, may be the very sample that stood at an earlier one. Then it goes
 * out only when nothing else is out at its seat: a swap, or none, would tell.
 */
export function mayRepeat(form: Form, place: number): boolean {
  if (!holdsTwins(form) || place === 0) return false;
  return form.kind !== 'pick-one' || form.byPlace === true || form.matched === place;
}

/** Whether a code that lasts for a session would give answers away, so that no page shows one while it lasts. */
export const codesTell = (form: Form): boolean => 'byPlace' in form && form.byPlace === true;

/** Places, from 0, of the samples that are graded in a trial of so many: practice may have fewer. */
export const gradedIn = ({ graded }: GradesForm, samples: number): number[] =>
  graded.filter((place) => place < samples);
