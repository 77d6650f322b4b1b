import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { words } from '../../shared/words/en';

const read = (text: string): string => text.normalize('NFKC').trim().toLowerCase();

/** What stands against the question after everything: a prototype without words, or words that two of them share. */
export function closingProblems({ closingQuestion, prototypes }: Plan): Problem[] {
  if (!closingQuestion) return [];
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
