import { fault } from './fault.mjs';

/** Faults in anchors, in words after a first impression, and in those who grade without being there. */
export const anchors = [
  fault(
    'an anchor that comes later than its reference',
    'server/audio/convolved.ts',
    [['const start = from - half;', 'const start = from - half + 1;']],
    'audio/low-pass',
  ),
  fault(
    'an anchor of a wider band',
    'server/audio/low-pass.ts',
    [['const width = 1 / 7;', 'const width = 1 / 3;']],
    'audio/low-pass',
  ),
  fault(
    'an anchor as loud as the others',
    'server/audio/match.ts',
    [['  if (follows === undefined) return own;\n', '  return own;\n']],
    'audio/match',
  ),
  fault(
    'an anchor that rings in from nothing at the in point',
    'server/audio/shelf.ts',
    [['const before = Math.min(from, reach);', 'const before = 0;']],
    'audio/shelf',
  ),
  fault(
    'check: an anchor made of anything',
    'server/blinding/check/sound.ts',
    [['(sha256 !== of?.sha256 || gain !== of.gain)', 'gain !== of?.gain']],
    'blinding/check-sound',
  ),
  fault(
    'practice of a first impression asks for words about nothing',
    'server/listen/scales-steps.ts',
    [['asksWords(form) && codes.length > 0', 'asksWords(form)']],
    'flows/struck',
  ),
  fault(
    'dry run: grades know nothing of earlier hearings',
    'server/dry-run/played-panel.ts',
    [['hearings.map((times) => times - 1)', 'hearings.map(() => 0)']],
    'dry-run/truth',
  ),
  fault(
    'dry run: who grades the wrong way round is forgotten in what is true',
    'server/dry-run/true-value.ts',
    [[' + inverted * mean(-1)', ' + inverted * mean(1)']],
    'dry-run/truth',
  ),
  fault(
    'dry run: a tick that knows no tastes',
    'server/demo/tick-chance.ts',
    [['logistic(mean + (step / 10) * sd)', 'logistic(mean)']],
    'dry-run/truth',
  ),
];
