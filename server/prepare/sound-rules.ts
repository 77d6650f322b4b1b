import { levelsCount, type Plan } from '../../shared/plan';
import { soundPlanOf } from './match';

/** How a plan wants its sound, a line each. */
export function soundRules(plan: Plan): string[] {
  const { match, alignment, minimumSeconds } = soundPlanOf(plan);
  const anchored = plan.prototypes.some(({ anchor }) => anchor);
  const by =
    match.kind === 'loudness'
      ? 'programme loudness (ITU-R BS.1770)'
      : `the level from ${match.low} to ${match.high}\u00a0Hz`;
  return [
    levelsCount(plan)
      ? 'All units play the same file. For each sample it is made anew, lowered to the quietest unit by that unit’s measured level.'
      : `Each prototype${anchored ? ' but the anchors' : ''} has a file of its own for each excerpt. They are lowered to the quietest, by ${by}, and all a tenth of a decibel further, so that no file is sent as it was brought.`,
    ...(anchored
      ? [
          'Anchors are made here of the reference: what lies below their frequency, at the gain of the reference. They are not matched, since what was taken off took loudness with it.',
        ]
      : []),
    ...(levelsCount(plan)
      ? []
      : [
          alignment === 'checked'
            ? 'Files of one excerpt must begin together, to the sample: export them from one project with the same start.'
            : 'By the plan files of one excerpt needn’t begin together.',
        ]),
    ...(plan.firstImpression
      ? [`A first impression plays for ${plan.firstImpression.windowSeconds}\u00a0s.`]
      : [`Every sample must have played for ${minimumSeconds}\u00a0s before an answer counts.`]),
    'Export WAV or FLAC; MP3 and Ogg are read, too. All files of an excerpt at one rate, such as 48\u00a0kHz.',
  ];
}
