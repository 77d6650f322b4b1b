import { methodOf } from '../../../protocols/index';
import type { Plan } from '../../../shared/plan';
import { nameIn } from '../plan-names';

/** The two kinds of trials to which yes and no were said, in the words of the method. */
export interface Kinds {
  /** The answer that is counted, as it stood on the phone, in quotation marks. */
  yes: string;
  no: string;
  /** "of pairs that differ": where yes is the true answer; and where no is. */
  signal: string;
  noise: string;
  /** The same as the heading of a row or a column. */
  signalShort: string;
  noiseShort: string;
  /** Prototypes that they stand for; null where each is about both. */
  prototypes: [signal: string, noise: string] | null;
}

export function kindsOf(plan: Plan): Kinds {
  const { form } = methodOf(plan);
  if (form.kind === 'yes-no' && form.question === 'question.learnt') {
    const { first, second } = plan.primary;
    const [learnt, other] = [first, second].map(nameIn(plan)) as [string, string];
    return {
      yes: '“yes, that one”',
      no: '“no, another”',
      signal: `of trials with ${learnt}, which had been learnt,`,
      noise: `of trials with ${other}`,
      signalShort: `${learnt}, learnt`,
      noiseShort: other,
      prototypes: [first, second],
    };
  }
  return {
    yes: '“different”',
    no: '“the same”',
    signal: 'of pairs that differ',
    noise: 'of pairs of one sample',
    signalShort: 'Pairs that differ',
    noiseShort: 'Pairs of one sample',
    prototypes: null,
  };
}

/** The answer at the begin of a line. */
export const capital = (answer: string): string => answer.replace(/[a-z]/, (letter) => letter.toUpperCase());
