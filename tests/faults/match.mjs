import { fault } from './fault.mjs';

/** Faults in what brings sounds to one level and one beginning, in what is rendered of them, and in how loud they are. */
export const match = [
  fault(
    'twins with the same dither',
    'server/audio/dither.ts',
    [["createCipheriv('aes-256-ctr', key, ", "createCipheriv('aes-256-ctr', Buffer.alloc(32, key.length), "]],
    'audio/render',
  ),
  fault(
    'a keystream that begins anew with each piece',
    'server/audio/dither.ts',
    [
      ["  const cipher = createCipheriv('aes-256-ctr', key, Buffer.alloc(16));\n", ''],
      [
        '  return (bytes) => {\n    for',
        "  return (bytes) => {\n    const cipher = createCipheriv('aes-256-ctr', key, Buffer.alloc(16));\n    for",
      ],
    ],
    'audio/dither',
  ),
  fault(
    'one dither for both ears',
    'server/audio/render.ts',
    [
      [
        '  const dither = triangularDither(random);',
        '  const draw = triangularDither(random);\n  let dither = draw();',
      ],
      ['exact + dither() + 0.5', 'exact + dither + 0.5'],
      ['    put(left[frame] as number, frame);', '    dither = draw();\n    put(left[frame] as number, frame);'],
    ],
    'audio/render',
  ),
  fault(
    'dither of half a step',
    'server/audio/dither.ts',
    [['(sum - 65535) / 65536', '(sum - 65535) / 131072']],
    'audio/dither',
    'audio/render',
  ),
  fault(
    'uniform dither, not triangular',
    'server/audio/dither.ts',
    [['(uniform[at + 1] as number)', '(uniform[at] as number)']],
    'audio/dither',
    'audio/render',
  ),
  fault(
    'samples cut down and not rounded',
    'server/audio/render.ts',
    [['exact + dither() + 0.5', 'exact + dither()']],
    'audio/render',
  ),
  fault(
    'full scale wrapped around',
    'server/audio/render.ts',
    [['const furthest = fullScale - 2', 'const furthest = fullScale + 2']],
    'audio/render',
  ),
  fault(
    'a lag with its sign turned',
    'server/audio/align.ts',
    [['ar * bi - ai * br', 'ai * br - ar * bi']],
    'audio/align',
  ),
  fault(
    'level and colour count in the lag',
    'server/audio/align.ts',
    [['coherence > chance ? coherence / Math.hypot(re, im) : 0', '1']],
    'audio/align',
  ),
  fault(
    'the cut taken for the sound',
    'server/audio/align.ts',
    [['0.5 - 0.5 * Math.cos((2 * Math.PI * (i + 0.5)) / block)', '1 + 0 * i']],
    'audio/align',
  ),
  fault(
    'two samples pass as aligned',
    'server/audio/align.ts',
    [['Math.abs(lag) > mostLag;', 'Math.abs(lag) > mostLag + 1;']],
    'audio/align',
  ),
  fault(
    'an unsure lag passes as a sure one',
    'server/audio/align.ts',
    [['export const leastCorrelation = 0.25', 'export const leastCorrelation = 0']],
    'audio/align',
  ),
  fault(
    'a render is raised',
    'server/audio/match.ts',
    [['floorGain(gain - highest)', 'floorGain(gain)']],
    'audio/match',
  ),
  fault(
    'the quietest file left to the bit',
    'server/audio/match.ts',
    [['leastLowering = 0.1', 'leastLowering = 0']],
    'audio/match',
  ),
  fault(
    'levels not measured again',
    'server/audio/match.ts',
    [['if (spread <= 0.002 || ', 'if (spread >= 0 || ']],
    'audio/match',
  ),
  fault(
    'peaks left where they are',
    'server/audio/match.ts',
    [['most >= peakCeiling ? floorGain(peakCeiling - most - 0.001) : 0', '0']],
    'audio/match',
    'audio/unit-level',
  ),
  fault(
    'each lowered by its own peak',
    'server/audio/match.ts',
    [
      [
        'floorGain(gain + lowered))',
        'floorGain(Math.min(gain, peakCeiling - 0.001 - (peaks[relative.indexOf(gain)] ?? 0))))',
      ],
    ],
    'audio/match',
  ),
  fault(
    'a coupler’s tolerance for files',
    'server/audio/level-tolerance.ts',
    [['file: { passes: 0.1', 'file: { passes: 0.2']],
    'audio/level-tolerance',
  ),
  fault(
    'a measurement outlives the rework',
    'server/audio/level-tolerance.ts',
    [['return reworkedAt && !(measured > reworkedAt.getTime())', 'return reworkedAt && Number.isNaN(measured)']],
    'audio/level-tolerance',
  ),
  fault(
    'shuffled frequencies are taken',
    'server/audio/response-curve.ts',
    [['if (here > before) continue;', 'if (here !== before) continue;']],
    'audio/response-curve',
  ),
  fault(
    'rows counted without comments',
    'server/audio/response-curve.ts',
    [
      ['.map((text, i) => ({ text, number: i + 1 })).filter(', '.map((text) => ({ text, number: 0 })).filter('],
      ['list: kept.map(({ text, number }) => ({ number, ', 'list: kept.map(({ text }, i) => ({ number: i + 1, '],
    ],
    'audio/response-curve',
  ),
  fault(
    'levels between points by hertz, not by octaves',
    'server/audio/response-curve.ts',
    [['((l1 - l0) * Math.log(frequency / f0)) / Math.log(f1 / f0)', '((l1 - l0) * (frequency - f0)) / (f1 - f0)']],
    'audio/response-curve',
  ),
  fault(
    'a filtered programme comes late',
    'server/audio/convolved.ts',
    [['const start = from - half;', 'const start = from;']],
    'audio/response-filter',
  ),
  fault(
    'both ears by the left one’s curve',
    'server/audio/response-filter.ts',
    [['convolved(right, filter.right)', 'convolved(right, filter.left)']],
    'audio/response-filter',
    'audio/unit-level',
  ),
  fault(
    'a match at 1 kHz called a match of the programme',
    'server/audio/unit-level.ts',
    [['const ears = unit.curve ? ', 'const ears = unit.curve && pcm.rate < 0 ? ']],
    'audio/unit-level',
  ),
  fault(
    'one ear speaks for both',
    'server/audio/unit-level.ts',
    [['(i === 0 ? unit.leftDb : unit.rightDb)', '(i === 0 ? unit.leftDb : unit.leftDb)']],
    'audio/unit-level',
  ),
  fault(
    'a weighting without its lowest poles',
    'server/audio/a-weighting.ts',
    [['((f + f1 ** 2) * ', '(f * ']],
    'audio/a-weighting',
  ),
  fault(
    'full scale of a sine taken for that of a square wave',
    'server/audio/listening-level.ts',
    [['programmeDb + sineDb', 'programmeDb']],
    'audio/listening-level',
  ),
  fault(
    'uncertainties added up straight',
    'server/audio/listening-level.ts',
    [['sum + halfWidthDb ** 2 / 3, 0))', 'sum + halfWidthDb / 3, 0) ** 2)']],
    'audio/listening-level',
  ),
  fault(
    'a level that isn’t known counts as none',
    'server/audio/dose.ts',
    [['share: unknownHours > 0 && known === 0 ? null : share', 'share']],
    'audio/dose',
  ),
  fault(
    'a week of 8-hour days',
    'server/audio/dose.ts',
    [['const weekHours = 40', 'const weekHours = 56']],
    'audio/dose',
  ),
  fault('an exchange of 5 dB', 'server/audio/dose.ts', [['exchangeDb: 3', 'exchangeDb: 5']], 'audio/dose'),
  fault(
    'a plan above 85 dBA is only warned of',
    'server/audio/dose.ts',
    [['!(plannedLaeq <= mostPlannedLaeq)) || ', '!(plannedLaeq <= 140)) || ']],
    'audio/dose',
  ),
];
