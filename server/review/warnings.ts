import type { Result } from '../../shared/findings';
import { listeners } from './figures';

/** Warnings come as a key with numbers, so that findings hold no sentence that words may change. */
export const warningsOf = (result: Result): string[] =>
  result.warnings.flatMap((warning) => {
    const [key = '', ...numbers] = warning.split(':');
    const words = wordsFor(key, numbers);
    return words === null ? [] : [words];
  });

/** Null where the sentence says it already. */
function wordsFor(key: string, [a = '', b = '']: string[]): string | null {
  switch (key) {
    case 'fewer-listeners':
      return `${listeners(Number(a))} of ${b} planned.`;
    case 'more-listeners':
      return `${listeners(Number(a))}; ${b} were planned.`;
    case 'these-units-only':
      return a === b
        ? 'One unit of each prototype was heard: this is about these units only.'
        : `${a} of ${b} prototypes had one unit: for ${a === '1' ? 'it' : 'them'} this is about that unit only.`;
    case 'renders-only':
      return 'Renders were heard, no units: this is about these renders, on whatever they were heard with. What is built from them may sound otherwise.';
    case 'listeners-without-preference':
      return `${listeners(Number(a))} gave no answer about the primary pair that counts, and fell out of its share.`;
    case 'listeners-incomplete':
      return `${listeners(Number(a))} didn’t rate every prototype on the primary scale, and fell out of its means.`;
    case 'fewer-right-than-guessing':
      return 'Fewer answers were right than guessing explains: look for a question that was misread, or samples that were swapped.';
    case 'one-session':
      return 'One session only: ears differ from day to day, and this is about that day.';
    case 'units-told-apart':
      return `Units of one prototype can be told apart: ${a} of ${b} answers about two of them were right, more than guessing explains. The difference between prototypes may be one between units.`;
    case 'units-preferred':
      return `Units of one prototype aren’t liked alike: ${a === '1' ? '1 pair' : `${a} pairs`} of ${b} show a preference. What is said of prototypes may be about units.`;
    case 'rated-both':
    case 'no-variation':
      return null;
    default:
      return [key, a, b].filter(Boolean).join(' ');
  }
}
