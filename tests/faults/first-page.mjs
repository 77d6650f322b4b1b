import { fault } from './fault.mjs';

/** Faults in page one of the letter, in the verdict about all audiences, and in what pictures say beside. */
export const firstPage = [
  fault(
    'page one: pooled though audiences differ',
    'protocols/pooling.ts',
    [["const may = reason === 'not-shown-to-differ';", 'const may = p !== null;']],
    'review/pooled',
  ),
  fault(
    'page one: a p of three questions is said to be one of two',
    'server/review/letter.ts',
    [['const asked = pooledPlan(plan);', 'const asked = plan;']],
    'review/pooled',
  ),
  fault(
    'page one: a plan that asks for a verdict for all is told that nothing is pooled',
    'server/review/between.ts',
    [["if (!pooled) return 'Nothing is pooled.';", "return 'Nothing is pooled.';"]],
    'review/pooled',
  ),
  fault(
    'page one: trials that were voided are not counted as wrong',
    'server/review/first-page.ts',
    [['[trials.void, `', '[0, `']],
    'review/first-page',
  ),
  fault(
    'page one: figures come after counts',
    'server/review/preference/figures.ts',
    [['    ...pFigures(result, plan),\n', '']],
    'review/first-page',
  ),
  fault(
    'page one: older findings get sittings, too',
    'server/review/findings.ts',
    [['...(newer && { wouldSettle: settledBy(result, plan) }),', 'wouldSettle: settledBy(result, plan),']],
    'review/first-page',
  ),
  fault(
    'sittings: one fewer than are enough',
    'protocols/more-sittings.ts',
    [['  return high;\n', '  return low;\n']],
    'protocols/more-sittings',
  ),
  fault(
    'sittings: taste averages out with the rest',
    'protocols/more-sittings.ts',
    [['Math.ceil(needed * left ** 2)', 'Math.ceil((needed * asPlanned.sessions.count) / plan.sessions.count)']],
    'protocols/more-sittings',
  ),
  fault(
    'told apart: at α or over it',
    'server/review/told-apart.ts',
    [['pAdjusted <= alpha', 'pAdjusted < alpha']],
    'review/told-apart',
  ),
  fault(
    'told apart: a line joins other rows than its group',
    'server/review/told-apart.ts',
    [['rows.indexOf(id)).sort((a, b) => a - b)', 'group.indexOf(id))']],
    'review/told-apart',
  ),
  fault(
    'audiences: what is worth finding is drawn one way only',
    'server/review/audiences-chart.ts',
    [['bounds: [1 - value, value],', 'bounds: [value],']],
    'review/audiences-chart',
  ),
];
