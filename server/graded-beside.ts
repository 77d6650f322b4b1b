import type { GradesForm } from '../protocols/form';

/**
 * What listeners are told of grading beside an open reference: that it is hidden among the others, and what whoever hears
 * no difference from it gives (so it is in both Recommendations, from memory; the rules that leave listeners out rest on
 * it). Practice may lack the hidden one, and says how a line is used.
 */
export function toldBeside({ question, scales }: GradesForm, practice: boolean) {
  const like =
    question === 'question.grade-impairment'
      ? (['grading.taken-for'] as const)
      : question === 'question.grade-against-reference'
        ? ([practice ? 'grading.like-reference' : 'grading.among'] as const)
        : [];
  const line = practice && scales.some(({ shape }) => shape === 'line');
  return [...like, ...(line ? (['grading.line'] as const) : [])];
}
