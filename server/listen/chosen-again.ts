import { orderField, pickField } from '../../shared/answer-fields';
import { noneTicked } from '../../shared/grade-fields';
import type { AnswerPart, GradedCard, GradedScale, PlacePart, ScalePart } from './view-models';

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
  if (part.kind === 'grading') return { ...part, cards: part.cards.map((card) => gradedAgain(card, sent)) };
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

type Sent = ReadonlyArray<readonly [name: string, value: string]>;

/** What is no number of a line isn't put into it again; its message says what it takes. */
const readable = /^-?\d{1,3}(?:\.\d)?$/;

function gradedAgain(card: GradedCard, sent: Sent): GradedCard {
  const { place, ticks } = card;
  const sentAs = (name: string): string | undefined => sent.find((one) => one[0] === name)?.[1];
  const ticked = sent.flatMap(([name, value]) => (name === `tick_${place}` ? [value] : []));
  const again = (scale: GradedScale): GradedScale => {
    const value = sentAs(`${scale.line?.tenths ? 'tenths' : 'grade'}_${place}_${scale.id}`);
    return {
      ...scale,
      places: scale.places.map((one) => ({ ...one, chosen: value === String(one.value) })),
      line: scale.line && { ...scale.line, given: value !== undefined && readable.test(value) ? value : null },
    };
  };
  return {
    ...card,
    leaves: card.leaves.map((leaf) => leaf.map(again)),
    ticks: ticks && {
      ...ticks,
      words: ticks.words.map((word) => ({ ...word, chosen: ticked.includes(word.id) })),
      none: ticked.includes(noneTicked),
    },
  };
}
