import { fault } from './fault.mjs';

/** Faults in how answers that were gathered elsewhere are read, and in what a verdict is computed and signed from. */
export const brought = [
  fault(
    'brought: samples that no trial puts together are counted',
    'server/import/possible-samples.ts',
    [['if (waysOf(plan).has(wayOf(prototypes, plan))) return true;', 'if (waysOf(plan).size > 0) return true;']],
    'import/hostile',
  ),
  fault(
    'brought: some trials with a number and some without, and two become one',
    'server/import/brought-trials.ts',
    [['    if (withNumber) {', '    if (withNumber && counted < 0) {']],
    'import/hostile',
  ),
  fault(
    'brought: two samples of a trial under one code',
    'server/import/samples.ts',
    [['  if (at < 0) return true;', '  if (at < 1000) return true;']],
    'import/hostile',
  ),
  fault(
    'brought: rows of nothing are kept',
    'server/import/table.ts',
    [["else if (cells.some((own) => own.trim() !== '')) rows.push", 'else if (cells.length > 0) rows.push']],
    'import/hostile',
  ),
  fault(
    'computing: all studies of a product at once',
    'server/review/computing/turns.ts',
    [['if (this.working < this.most) this.working++;', 'if (this.most > 0) this.working++;']],
    'review/computing/turns',
  ),
  fault(
    'sign-off: nobody says which findings were read',
    'server/review/commands.ts',
    [["if (decision === 'sign' && read === '') {", "if (decision === 'sign' && read === ' ') {"]],
    'flows/bad-input',
  ),
];
