import { fault } from './fault.mjs';

/** Who came audience by audience, what was planned against what was done, and the report as a file. */
export const report = [
  fault(
    'report: a title ends the style',
    'server/review/report.ts',
    [['-]/u.test(one)', '-]/u.test(one) || true']],
    'review/report',
  ),
  fault(
    'report: what folds stays shut',
    'server/review/report.ts',
    [["html.replaceAll('<details ', '<details open ')", "html.replaceAll('<details ', '<details ')"]],
    'review/report',
  ),
  fault(
    'flow: days that don’t count are in the verdict',
    'server/review/flow-by-audience.ts',
    [['const reason = !isVerdictDay(one, plan)', 'const reason = false']],
    'review/flow-by-audience',
  ),
  fault(
    'flow: trials of sittings that were missed are forgotten',
    'server/review/flow-by-audience.ts',
    [['notHeld: missed * ofSitting', 'notHeld: 0']],
    'review/flow-by-audience',
  ),
  fault(
    'flow: who was put off counts for every audience',
    'server/review/flow-by-audience.ts',
    [['story.putOff.filter((listener) => members.has(listener))', 'story.putOff']],
    'review/flow-by-audience',
  ),
  fault(
    'planned and done: against the plan as it stands, not as it was locked',
    'server/review/planned-done.ts',
    [['planVersions(ledger)[0]?.plan ?? of.plan', 'of.plan']],
    'review/planned-done',
  ),
  fault(
    'planned and done: a deviation that was signed is as planned',
    'server/review/planned-done.ts',
    [['measured === units && deviations.length === 0', 'measured === units']],
    'review/planned-done',
  ),
];
