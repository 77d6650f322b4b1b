import { fault } from './fault.mjs';

/** Faults in what a page may fetch and say of it, and in what a backup takes along. */
export const soundServed = [
  fault(
    'heard though it was never made',
    'server/listen/sound-steps.ts',
    [['if (missing.length > 0)', 'if (missing.length > samples)']],
    'listen/sound',
  ),
  fault(
    'one sample heard too short passes',
    'server/listen/sound-steps.ts',
    [['heardMs.findIndex(', 'heardMs.slice(0, 1).findIndex(']],
    'listen/sound',
  ),
  fault(
    'an interruption that changes nothing is no change',
    'server/listen/sound-steps.ts',
    [["{ step: voids ? 'void' : trial.step }", "voids ? { step: 'void' } : {}"]],
    'listen/sound',
  ),
  fault(
    'an interruption voids practice',
    'server/listen/sound-steps.ts',
    [[' && trial.practice === 0', '']],
    'listen/sound',
  ),
  fault(
    'swapped ears pass',
    'server/listen/sound-check.ts',
    [
      ['pairs.every(([played, heard]) => played !== heard)', 'false'],
      ['pairs.some(([played, heard]) => played !== heard)', 'false'],
    ],
    'listen/sound',
  ),
  fault(
    'wireless passes where it is refused',
    'server/listen/sound-check.ts',
    [["plan.sound?.wireless !== 'allowed'", 'false']],
    'listen/sound',
  ),
  fault(
    'the sound of somebody else',
    'server/listen/sounds.ts',
    [['|| sitting.listener_id !== listener', '']],
    'listen/sound',
  ),
  fault(
    'the sound of a trial that is over',
    'server/listen/sounds.ts',
    [
      ['currentTrial(await trialsOf(db, sitting.id))?.id !== trial.id', 'false'],
      ['!audible.includes(trial.step)', 'false'],
    ],
    'listen/sound',
  ),
  fault(
    'X is a copy of its twin',
    'server/blinding/presentation-sound.ts',
    [["canonicalJson([...path, 'trial', trial, presentation])", "canonicalJson([...path, 'trial', trial])"]],
    'listen/sound',
  ),
  fault(
    'a backup without its sounds',
    'server/store/sound-copy.ts',
    [['        pack(sha256);\n', '']],
    'cli/sound-backup',
  ),
  fault(
    'a damaged sound goes into a backup',
    'server/store/sound-copy.ts',
    [["if (hash.digest('hex') !== sha256) throw new NotWhole('damaged');", '']],
    'cli/sound-backup',
  ),
  fault(
    'a damaged sound comes out of a backup',
    'server/store/sound-copy.ts',
    [["if (hash.digest('hex') !== sha256) throw new DamagedSound(sha256);", '']],
    'cli/sound-backup',
  ),
  fault(
    'a damaged sound stays where it is',
    'server/store/sound-copy.ts',
    [["return hash.digest('hex') === sha256 ? 'whole' : 'damaged';", "return 'whole';"]],
    'cli/sound-backup',
  ),
];
