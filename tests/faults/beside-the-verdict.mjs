import { fault } from './fault.mjs';

/** What is said beside a verdict, and how surely. */
export const besideTheVerdict = [
  fault(
    'raters: means of few ratings have no more room than those of many',
    'protocols/raters.ts',
    [['const ownSquare = meanSquare + more;', 'const ownSquare = meanSquare;']],
    'protocols/raters',
  ),
  fault(
    'panel on page one: listeners are counted at the level’s opposite',
    'server/review/listeners/panel-line.ts',
    [['pAdjusted <= found.level', 'pAdjusted <= 1 - found.level']],
    'review/listeners/panel-line',
  ),
  fault(
    'tells: codes that no sample bore are looked at',
    'server/review/tells/tells.ts',
    [["(importedOf(ledger)?.codes ?? 'given') === 'given'", 'true']],
    'import/open-data',
  ),
  fault(
    'over time: hearings count as they are, and not by doublings',
    'protocols/sitting-slope.ts',
    [['x: Math.log2(Math.max(1, heard))', 'x: heard']],
    'review/beside-the-verdict',
  ),
  fault(
    'price steps: of several pairs only the first counts',
    'protocols/pair-gains.ts',
    [['value: meanOf(own.map(({ value }) => value)),\n      trials', 'value: own[0]?.value ?? 0,\n      trials']],
    'review/beside-the-verdict',
  ),
];
