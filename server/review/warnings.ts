import type { Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { claimOf } from './difference/claim';
import { listeners } from './figures';
import { nameIn } from './plan-names';

/** Warnings come as a key with numbers, so that findings hold no sentence that words may change. */
export const warningsOf = (result: Result, plan: Plan): string[] =>
  result.warnings.flatMap((warning) => {
    const [key = '', ...numbers] = warning.split(':');
    const words = wordsFor(key, numbers, plan);
    return words === null ? [] : [words];
  });

/** Null where the sentence says it already. */
function wordsFor(key: string, [a = '', b = '']: string[], plan: Plan): string | null {
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
    case 'means-of-some':
      return `Not all samples stand in a trial: ${a} of ${listeners(Number(b))} rated every prototype, so each mean is over those who rated that one. Pairs are compared within listeners.`;
    case 'blocks-not-complete':
      return 'Rankings are missing, so that some prototypes met more often than others: mean ranks hang on whom each was ranked with. Pairs are tested by rankings that hold both.';
    case 'fewer-right-than-guessing':
      return fewerRight(plan);
    case 'one-session':
      return 'One session only: ears differ from day to day, and this is about that day.';
    case 'units-told-apart':
      return `Units of one prototype can be told apart: ${a} of ${b} answers about two of them were right, more than guessing explains. The difference between prototypes may be one between units.`;
    case 'units-preferred':
      return `Units of one prototype aren’t liked alike: ${a === '1' ? '1 pair' : `${a} pairs`} of ${b} show a preference. What is said of prototypes may be about units.`;
    case 'units-together':
      return `${a} of ${b} prototypes had several units, and comparisons can’t tell units of one prototype apart: this is about the units that were heard, and other units may come out otherwise.`;
    case 'all-alike':
      return 'In each sitting all answers were the same, so that there is nothing to compare.';
    case 'screened-by-difference':
      return 'Whom the rule of the plan keeps was chosen by grades of the very samples that the verdict is about, and everybody’s answers don’t show the same: so it stays undecided. See “Who was left out by the rule of the plan”.';
    case 'two-peaks':
      return b === plan.primary.scale
        ? `Ratings of ${nameIn(plan)(a)} gather in two places rather than one, so that its mean stands for neither: see “How listeners are spread”.`
        : null;
    case 'rater-at-random':
      return `The ratings of ${listeners(Number(a))} tell no prototypes apart where the panel does. They count: see “Who rates how”.`;
    case 'rater-other-way':
      return `${listeners(Number(a))} rated the other way round than the others. They count: see “Who rates how”.`;
    // The sentence says it already, or the section about it.
    case 'screened-out':
    case 'rated-both':
    case 'no-variation':
    case 'order-effect':
      return null;
    default:
      return [key, a, b].filter(Boolean).join(' ');
  }
}

/** Of a method that asks one way only it may be the other way round, which the plan can't show. */
function fewerRight(plan: Plan): string {
  const { reverse } = claimOf(plan);
  return reverse === null
    ? 'Fewer answers were right than guessing explains: look for a question that was misread, or samples that were swapped.'
    : `Fewer answers were right than guessing explains. Either ${reverse}, which this plan can’t show since it asked the other way only, or the question was misread, or samples were swapped.`;
}
