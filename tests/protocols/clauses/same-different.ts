import { aPlan } from '../../blinding/a-plan';
import type { Clauses } from './clauses';
import { refusedYesNo, said, yesNoVerdicts } from './yes-no';

const plan = aPlan({ method: 'same-different', trials: 6, units: 2 });
const fresh = ['417', '502'];
/** A carrier that keeps its code for the day bears the same twice; the answer is none of them. */
const day = ['417', '417'];

export const sameDifferent: Clauses = {
  plan,
  answers: [
    { codes: fresh, presented: 'ab', sent: { picked: 'yes' }, scored: said(1) },
    { codes: fresh, presented: 'ab', sent: { picked: 'no' }, scored: said(0) },
    { codes: fresh, presented: 'aa', sent: { picked: 'yes' }, scored: said(1) },
    { codes: day, presented: 'bb', sent: { picked: 'no' }, scored: said(0) },
  ],
  refused: refusedYesNo(fresh),
  // Of three pairs of a kind one is left over, which the next listener has the other way round.
  balanced: { positions: [0, 1], block: 2 },
  guessing: { notApplicable: 'how readily someone says different is their own, so chance is no fixed rate' },
  // Two impressions further apart than one standard deviation of their difference, as a normal variate is in 31.73 %
  // (Abramowitz & Stegun 1964, Handbook of Mathematical Functions, table 26.1).
  careless: { gives: ([scored]) => scored?.value === 1, probability: 0.3173 },
  verdicts: yesNoVerdicts(plan),
};
