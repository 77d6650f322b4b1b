import { fault } from './fault.mjs';

/** Faults in what is prepared: sound that isn't matched, levels that nobody signs for, a week that is never full. */
export const prepare = [
  fault(
    'a session opens before its sound is matched',
    'server/run/sessions.ts',
    [['if (!(await soundStands(tx, study)))', 'if (study.title === "" && !(await soundStands(tx, study)))']],
    'prepare/sound',
  ),
  fault(
    'a match stands though a file was changed since',
    'server/prepare/sound-commands.ts',
    [['if (slot.sound?.sha256 !== sha256 || !cutFits) await dropSoundMatch', 'if (!cutFits) await dropSoundMatch']],
    'prepare/sound',
  ),
  fault(
    'a match stands though the cut was moved since',
    'server/prepare/sound-commands.ts',
    [
      [
        'if (before?.from_frame !== cut.from_frame || before.to_frame !== cut.to_frame) await dropSoundMatch(tx, study.id);',
        '',
      ],
    ],
    'prepare/sound',
  ),
  fault(
    'renders that begin apart are matched all the same',
    'server/prepare/match.ts',
    [["if (alignment === 'checked') {", "if (alignment === 'never') {"]],
    'prepare/sound',
  ),
  fault(
    'files of one excerpt may have two rates',
    'server/prepare/sound-commands.ts',
    [['if (other?.sound && other.sound.rate !== rate)', 'if (other?.sound && rate < 0)']],
    'prepare/sound',
  ),
  fault(
    'an excerpt may be shorter than a first impression',
    'server/prepare/sound-commands.ts',
    [['if (window !== undefined && length < window)', 'if (window !== undefined && length < 0)']],
    'prepare/sound',
  ),
  fault(
    'a trim outlives the level that it was made by',
    'server/prepare/level-commands.ts',
    [['  await dropSoundMatch(tx, study.id);\n', '']],
    'prepare/levels',
  ),
  fault(
    'an old measurement counts for ever',
    'server/level-problems.ts',
    [["...(state === 'stale'", "...(state === 'fresh' && newest.at === ''"]],
    'prepare/levels',
  ),
  fault(
    'one signature stands for whatever is measured later',
    'server/level-problems.ts',
    [["{measurement ?? ''}", "{''}"]],
    'prepare/levels',
  ),
  fault(
    'ears that differ need nobody’s signature',
    'server/level-problems.ts',
    [["...(balanceJudged === 'beyond'", "...(balanceJudged === 'beyond' && above === -1"]],
    'prepare/levels',
  ),
  fault(
    'units that nobody measured lock a plan without a word',
    'server/plan/commands.ts',
    [['    await coverLevels(context, plan, deviation);\n', '']],
    'prepare/levels',
  ),
  fault('a deviation isn’t signed', 'server/blinding/signing.ts', [["  'level-deviation',\n", '']], 'blinding/check'),
  fault(
    'a level that nobody knows counts as none',
    'server/prepare/listening-level.ts',
    [
      [
        'plannedOf(plan, minutes, estimate?.laeq ?? null, sensitive)',
        'plannedOf(plan, minutes, estimate?.laeq ?? 0, sensitive)',
      ],
    ],
    'prepare/listening-level',
  ),
  fault(
    'louder than 85 dBA opens like any other',
    'server/level-problems.ts',
    [['return [...ofUnits, ...loud];', 'return ofUnits;']],
    'prepare/listening-level',
  ),
  fault(
    'who has had a week’s sound is seated',
    'server/run/seats.ts',
    [
      [
        "(await weeklyDose(tx, listener.id, at)).share) === 'hold'",
        "(await weeklyDose(tx, listener.id, at)).share) === 'never'",
      ],
    ],
    'prepare/listening-level',
  ),
  fault(
    'a week of listening lasts for ever',
    'server/weekly-dose.ts',
    [['Math.max(Date.parse(from), Date.parse(since))', 'Date.parse(from)']],
    'prepare/listening-level',
  ),
  fault(
    'what a page played counts for nothing',
    'server/weekly-dose.ts',
    [['const ms = plays(plan)', 'const ms = !plays(plan)']],
    'prepare/listening-level',
  ),
];
