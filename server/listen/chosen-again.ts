import { orderField, pickField } from '../../shared/answer-fields';
import type { AnswerPart, PlacePart, ScalePart } from './view-models';

/** The place with what was sent chosen, so that a form that was refused loses nothing. Another trial's is not touched. */
export function chosenAgain(part: PlacePart, sent: ReadonlyArray<readonly [name: string, value: string]>): PlacePart {
  const has = (name: string, value: string): boolean => sent.some((one) => one[0] === name && one[1] === value);
  if (!('trial' in part) || !has('trial', part.trial)) return part;
  if (part.kind === 'rating') {
    const again = (scale: ScalePart): ScalePart => ({
      ...scale,
      values: scale.values.map((one) => ({ ...one, chosen: has(`scale_${scale.id}`, String(one.value)) })),
    });
    return { ...part, leaves: part.leaves.map((leaf) => leaf.map(again)) };
  }
  if (part.kind !== 'asking' && part.kind !== 'comparing') return part;
  const again = (answer: AnswerPart): AnswerPart => {
    if (part.how !== 'order') {
      return { ...answer, chosen: has(part.how === 'one' ? 'answer' : pickField, answer.value) };
    }
    const given = Number(sent.find(([name]) => name === `${orderField}${answer.value}`)?.[1]);
    return given >= 1 && given <= part.size ? { ...answer, given } : answer;
  };
  return { ...part, answers: part.answers.map(again) };
}
