import { aPlan } from '../../blinding/a-plan';
import type { Clauses } from './clauses';
import { refusedYesNo, said, yesNoVerdicts } from './yes-no';

const plan = aPlan({ method: 'a-not-a', trials: 6, units: 2 });
const codes = ['417'];

export const aNotA: Clauses = {
  plan,
  answers: [
    { codes, presented: 'a', sent: { picked: 'yes' }, scored: said(1) },
    { codes, presented: 'a', sent: { picked: 'no' }, scored: said(0) },
    { codes, presented: 'b', sent: { picked: 'yes' }, scored: said(1) },
    { codes, presented: 'b', sent: { picked: 'no' }, scored: said(0) },
  ],
  refused: refusedYesNo(codes),
  balanced: { positions: [0], block: 1 },
  guessing: { notApplicable: 'how readily someone says it is the one is their own, so chance is no fixed rate' },
  careless: { gives: ([scored]) => scored?.value === 1, probability: 1 / 2 },
  verdicts: yesNoVerdicts(plan),
};
