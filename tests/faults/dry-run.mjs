import { fault } from './fault.mjs';

/** In a dry run: whose figures would be read as those of a plan. */
export const dryRun = [
  fault(
    'dry run: all panels have one seed',
    'server/dry-run/chunk.ts',
    [['play(seededRandom(', 'play(((text) => seededRandom(text.slice(0, 9)))(']],
    'dry-run/dry-run',
  ),
  fault(
    'dry run: the seed is not heeded',
    'server/dry-run/chunk.ts',
    [['play(seededRandom(', 'play(((text) => seededRandom(text.slice(0, 7) + text.slice(9)))(']],
    'dry-run/dry-run',
  ),
  fault(
    'dry run: sittings that don’t take place take place',
    'server/dry-run/played-panel.ts',
    [['if (absent?.has(seatOf(trial.person, trial.sitting))) return;', '']],
    'dry-run/truth',
  ),
  fault(
    'dry run: who hears and is told no distance hears all',
    'server/dry-run/truth.ts',
    [['(dPrime === undefined ? { heard } : { dPrime })', '(dPrime === undefined ? {} : { dPrime })']],
    'dry-run/truth',
  ),
  fault(
    'dry run: false alarms of the first audience alone',
    'server/dry-run/dry-run.ts',
    [['tallies.anyFound / panels', '(first.falseAlarms ?? 0)']],
    'dry-run/dry-run',
  ),
  fault(
    'dry run: all units lie off alike',
    'server/dry-run/played-panel.ts',
    [['unitSd * normalVariate(random)', 'unitSd']],
    'dry-run/truth',
  ),
  fault(
    'dry run: the interval is held against nothing',
    'server/dry-run/tally.ts',
    [
      [
        'if (lower - rounding <= value && value <= upper + rounding) tally.holding++;',
        'if (lower <= upper) tally.holding += 0;',
      ],
    ],
    'dry-run/truth',
  ),
  fault(
    'dry run: the wrong side of the limit counts as similar',
    'server/dry-run/true-value.ts',
    [
      [
        '(heardIn(plan, truth) ?? 1) < plan.risks.smallest.value',
        '(heardIn(plan, truth) ?? 1) <= plan.risks.smallest.value',
      ],
    ],
    'dry-run/truth',
  ),
];
