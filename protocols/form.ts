/**
 * How a method asks. A form holds keys of words, never the words, so that a new method needs no new page.
 * Further kinds join this union as methods need them.
 */
export type Form = {
  kind: 'pick-one';
  /** Key of the question that the listener reads. */
  question: 'question.prefer';
  /** How many samples a trial has. */
  presentations: number;
  /** Key of the answer that picks none, or null when a choice is forced. */
  none: 'answer.none' | null;
  /** Whether the listener may add words about each sample afterwards. */
  words: boolean;
};
