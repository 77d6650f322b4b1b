import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { words } from '../../shared/words/en';
import { codeShown } from '../live/code-shown';

const read = (text: string): string => text.normalize('NFKC').trim().toLowerCase();

/**
 * What stands against the question after everything: a prototype without words, words that two of them share, or no code
 * to ask about.
 */
export function closingProblems(plan: Plan): Problem[] {
  const { closingQuestion, prototypes } = plan;
  if (!closingQuestion) return [];
  const { form } = methodOf(plan);
  const shown = Array.from({ length: form.presentations }, (_, place) => codeShown(form, place, plan));
  if (!shown.includes(true)) {
    return [
      {
        code: 'no-code-shown',
        path: 'closingQuestion.asked',
        message:
          'With codes of the day no phone shows the codes of this method, since they would be the answer, so listeners can’t be asked in the end which one a code was. Take fresh carriers, or leave the question out.',
      },
    ];
  }
  const { labels } = closingQuestion;
  const named = labels.map(({ prototype }) => prototype);
  const whole =
    named.length === prototypes.length && prototypes.every(({ id }) => named.filter((one) => one === id).length === 1);
  if (!whole) {
    return [
      {
        code: 'not-each-once',
        path: 'closingQuestion.labels',
        message: 'The closing question needs words for each prototype of this plan, once.',
        allowed: prototypes.map(({ id }) => id).join(', '),
        got: named.join(', '),
      },
    ];
  }
  const taken = new Set([read(words['guessing.none'])]);
  return labels.flatMap((label, i): Problem[] => {
    const key = read(label.words);
    if (!taken.has(key)) {
      taken.add(key);
      return [];
    }
    const path = `closingQuestion.labels.${i}.words`;
    const message = `Listeners would read “${label.words}” twice. Give each prototype words of its own.`;
    return [{ code: 'repeated', path, message, got: label.words }];
  });
}
