import { fault } from '../fault.mjs';

export const abx = [
  fault(
    'abx: the third sample by turns, not drawn',
    'protocols/abx.ts',
    [["randomness.at('third', ordinal).below(2) === 0 ? a : b", 'ordinal % 2 === 0 ? a : b']],
    'protocols/abx',
  ),
  fault(
    'abx: the order of answers hangs on the draw of the third',
    'protocols/abx.ts',
    [["randomness.at('shown', ordinal)", "randomness.at('third', ordinal)"]],
    'blinding/draw-methods',
  ),
  fault(
    'abx: one draw of the third for a whole sitting',
    'protocols/abx.ts',
    [["randomness.at('third', ordinal)", "randomness.at('third')"]],
    'protocols/abx',
  ),
  fault(
    'abx: the third drawn with the sides, the same for two listeners',
    'protocols/abx.ts',
    [
      [
        'return design(samples, planned + 1, firstIsA, own);',
        'return design(samples, planned + 1, firstIsA, { at: (...path) => randomness.at(seat.sitting, Math.floor((seat.ordinal - 1) / 2), ...path) });',
      ],
    ],
    'protocols/abx',
  ),
  fault(
    'abx: sides balanced for every other listener only',
    'protocols/abx.ts',
    [['ordinal % 2 === 1 ? drawn : drawn.map((side) => !side)', 'drawn']],
    'protocols/abx',
    'protocols/contract',
  ),
  fault(
    'abx: a trial put again with its sides turned',
    'protocols/abx.ts',
    [["own.at('again', again.ordinal).below(2) === 1", 'again.spoilt.presentations[0] !== samples[0]']],
    'protocols/abx',
  ),
  fault(
    'abx: the code of the third taken for an answer',
    'protocols/abx.ts',
    [['codes.slice(0, 2).indexOf(', 'codes.indexOf(']],
    'protocols/contract',
  ),
  fault(
    'abx: right and wrong changed round',
    'protocols/abx.ts',
    [
      [
        'presentations[picked - 1] === presentations[2] ? 1 : 0',
        'presentations[picked - 1] === presentations[2] ? 0 : 1',
      ],
    ],
    'protocols/contract',
  ),
  fault(
    'abx: two-sided, not one-sided',
    'protocols/right-counts.ts',
    [
      [
        'binomialTest({ correct, trials, chance })',
        "binomialTest({ correct, trials, chance, alternative: 'two-sided' })",
      ],
    ],
    'protocols/rights-null',
    'protocols/right-answers',
  ),
  fault(
    'abx: audiences not corrected for each other',
    'protocols/right-answers.ts',
    [['const corrected = holm(audiences.map(({ p }) => p))', 'const corrected = audiences.map(({ p }) => p)']],
    'protocols/rights-null',
  ),
  fault(
    'abx: α taken for more than it is',
    'protocols/right-answers.ts',
    [["if (pAdjusted <= alpha) return 'difference-shown'", "if (pAdjusted <= 2 * alpha) return 'difference-shown'"]],
    'protocols/rights-null',
  ),
  fault(
    'abx: lucky guesses left in',
    'protocols/heard-share.ts',
    [['estimate(mean, lower, upper, level)', 'estimate(correct / trials, lower, upper, level)']],
    'protocols/rights-null',
    'protocols/right-answers',
  ),
  fault(
    'abx: trials counted as if each came from a listener of its own',
    'protocols/heard-share.ts',
    [['counts.length < 2 ? null', 'counts.length > 0 ? null']],
    'protocols/right-answers',
  ),
  fault(
    'abx: the limits of one listener stretched over the panel',
    'protocols/heard-share.ts',
    [['if (overListeners?.chanceCorrected.identified)', 'if (overListeners?.chanceCorrected)']],
    'protocols/right-answers',
  ),
  fault(
    'abx: power at all of α, whoever else answered',
    'protocols/right-answers.ts',
    [
      [
        'alphaEach(plan, audiences.filter(({ p }) => p !== null).length)',
        'alphaEach(plan, Math.min(1, audiences.length))',
      ],
    ],
    'protocols/right-answers',
  ),
  fault(
    'abx: the smallest size, beyond which power falls short again',
    'protocols/rights-power.ts',
    [['sizes.lasting.trials', 'sizes.smallest.trials']],
    'protocols/rights-power',
  ),
  fault(
    'abx: the third sample handed over for nothing',
    'protocols/ways-of-asking.ts',
    [["by('abx', 'abx-differencing', 1 / 2, 3)", "by('abx', 'abx-differencing', 1 / 2, 2)"]],
    'protocols/rights-power',
  ),
  fault(
    'abx: one listener speaks for an audience',
    'protocols/interaction.ts',
    [['const fewestListeners = 2', 'const fewestListeners = 1']],
    'protocols/interaction',
  ),
];
