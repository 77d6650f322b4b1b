import { fault } from './fault.mjs';

/** Faults in what a plan holds of sound, in what a check makes of it, and in what the letter tells. */
export const soundTold = [
  fault(
    'told: renders that somebody hands over',
    'server/plan/candidate.ts',
    [["handed ? draft.handling : 'server'", 'draft.handling']],
    'plan/draft',
  ),
  fault(
    'told: renders with any handling',
    'server/plan/sound-problems.ts',
    [["if (!handed && handling !== 'server')", "if (false && handling !== 'server')"]],
    'plan/sound-problems',
  ),
  fault(
    'told: a band as narrow as one likes',
    'server/plan/sound-problems.ts',
    [['if (high / low >= planLimits.bandRatio)', 'if (high >= low)']],
    'plan/sound-problems',
  ),
  fault(
    'told: an amendment that changes where the programme comes from',
    'server/plan/amended-plan.ts',
    [['candidate({ ...draft, playback: plan.playback })', 'candidate(draft)']],
    'plan/amended-plan',
  ),
  fault(
    'told: swapping of renders takes time',
    'server/plan/candidate.ts',
    [['swap: handed ? number(draft.timing.swap) : 0', 'swap: number(draft.timing.swap)']],
    'plan/draft',
  ),
  fault(
    'told: the third sample may be the very file of its twin',
    'server/blinding/check/sound.ts',
    [['if ((owners.get(sha256) ?? place) !== place)', 'if (false)']],
    'blinding/check-sound',
  ),
  fault(
    'told: answered without a file',
    'server/blinding/check/sound.ts',
    [['of(id, answered.seq) < codes.length', 'of(id, answered.seq) < 1']],
    'blinding/check-sound',
  ),
  fault(
    'told: a file of another excerpt',
    'server/blinding/check/sound.ts',
    [['one.to - one.from === frames', 'one.rate === rate']],
    'blinding/check-sound',
  ),
  fault(
    'told: matched anew while somebody listens',
    'server/blinding/check/steps.ts',
    [["(open || playback !== 'seat-player')", "playback !== 'seat-player'"]],
    'blinding/check-sound',
  ),
  fault(
    'told: a preference by which came first',
    'server/review/sound/by-excerpt.ts',
    [['straight ? value : -value', 'value']],
    'review/sound',
  ),
  fault(
    'told: interruptions of practice counted',
    'server/review/sound/sound.ts',
    [['told.filter(({ trial }) => !trial.practice)', 'told']],
    'review/sound',
  ),
  fault(
    'told: an unknown dose that is none',
    'server/review/sound/sound.ts',
    [['level === null ? null : dose', 'level === null ? 0 : dose']],
    'review/sound',
  ),
  fault(
    'told: files that still differ are no matter',
    'server/review/sound/page.ts',
    [["files > 1 && judged !== 'passes'", "files > 1 && judged === 'beyond'"]],
    'review/sound',
  ),
];
