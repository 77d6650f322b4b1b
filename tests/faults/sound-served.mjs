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
      ['!isAudible(trial, plan)', 'false'],
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
    'a first impression that was disturbed comes again',
    'server/listen/sound-steps.ts',
    [[" && form.kind !== 'scales'", '']],
    'listen/sound',
  ),
  fault(
    'a first impression fetched once more',
    'server/listen/sounds.ts',
    [["'starting', 'listening',", "'starting', 'rating', 'listening',"]],
    'listen/sound',
  ),
  fault(
    'whether somebody else has a sound is told',
    'server/listen/sounds.ts',
    [['if (!row) throw notYours();', "if (!row) throw gone('There is none.');"]],
    'flows/attack-sounds',
  ),
  fault(
    'sounds while the session is paused',
    'server/listen/sounds.ts',
    [["if (session.state === 'paused')", "if (session.state === 'closed')"]],
    'flows/attack-sounds',
  ),
  fault(
    'sounds on any phone of a listener',
    'server/listen/sounds.ts',
    [['if (who && isElsewhere(', 'if (!who && isElsewhere(']],
    'flows/attack-sounds',
  ),
  fault(
    'one file twice in a list',
    'shared/wire/sound.ts',
    [['differ(sounds.map(({ sha256 }) => sha256))', 'sounds.length > 0']],
    'shared/wire/sound',
  ),
  fault(
    'a note behind the samples leaves with them',
    'shared/wire/sound.ts',
    [
      ['view.getUint32(4, true) === file.byteLength - 8', 'view.getUint32(4, true) <= file.byteLength - 8'],
      ['view.getUint32(40, true) === file.byteLength - headerBytes', 'view.getUint32(40, true) <= file.byteLength'],
    ],
    'shared/wire/sound',
  ),
  fault(
    'a header that comes with some sounds',
    'server/listen/sounds.ts',
    [
      [
        "unkept(res).type('audio/wav')",
        "unkept(res).set(sound.wav[60] === undefined || sound.wav[60] > 127 ? { 'x-loud': '1' } : {}).type('audio/wav')",
      ],
    ],
    'flows/same-bytes',
    'flows/attack-sounds',
  ),
  fault(
    'an offset in one ear unsaid',
    'server/prepare/unlike.ts',
    [
      [
        'Math.max(...pcm.channels.map((one) => meanOf(one) / rmsOf(one)))',
        'meanOf(pcm.channels[0]) / rmsOf(pcm.channels[0])',
      ],
    ],
    'prepare/unlike',
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
