import { fault } from './fault.mjs';

/** Faults in what is said before anybody is asked: what a way of asking costs, what a plan finds, what it may hold. */
export const planning = [
  fault(
    'another way of asking finds the same share and not the same difference',
    'server/plan/ear.ts',
    [['(way.share - chance) / (1 - chance)', 'way.share']],
    'plan/draft',
  ),
  fault(
    'a test for difference is offered for sameness',
    'server/plan/ways.ts',
    [['protocolOf(id).aims.includes(aim)', "protocolOf(id).family === 'difference'"]],
    'plan/ways',
  ),
  fault(
    'sameness by a method that can’t show it isn’t refused',
    'server/plan/method-problems.ts',
    [['if (!protocol.aims.includes(aim))', "if (!protocol.aims.includes(aim) && aim !== 'similarity')"]],
    'plan/check',
  ),
  fault(
    'two samples of one code are put as an identical pair',
    'server/plan/control-problems.ts',
    [['if (!codesLast(plan)) return [];', 'return [];']],
    'plan/check',
  ),
  fault(
    'the known difference may be one of the pair',
    'server/plan/control-problems.ts',
    [['known === primary.first || known === primary.second', 'known === primary.first']],
    'plan/check',
  ),
  fault(
    'looks for a study of sameness',
    'server/plan/looks-offered.ts',
    [[" || plan.aim === 'similarity'", '']],
    'plan/check',
  ),
  fault(
    'the smallest difference found is rounded down',
    'server/plan/budget.ts',
    [['Math.ceil(value * 100 - 1e-9)', 'Math.floor(value * 100)']],
    'plan/finds',
  ),
  fault(
    'cleaning takes no time',
    'server/plan/minutes.ts',
    [['const sample = clean + swap + fit + listen;', 'const sample = swap + fit + listen;']],
    'plan/finds',
  ),
  fault(
    'a plan that is brought keeps ids from elsewhere',
    'server/plan/own-ids.ts',
    [['const known = ids.get(id) ?? newPartId();', 'const known = id;']],
    'plan/documents',
  ),
  fault(
    'plans are compared without their controls',
    'server/plan/compare-plans.ts',
    [['    if (isId(path)) return;', "    if (isId(path) || path === 'controls') return;"]],
    'cli/plan',
  ),
];
