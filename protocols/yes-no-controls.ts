import type { ControlKind } from '../shared/plan';
import type { ControlRule } from './protocol';

/**
 * What a method with two answers makes of controls.
 * @param identical why it takes no identical pairs
 * @param units whether two units of one prototype can be put to it
 */
export const yesNoControls = (identical: string, units: ControlRule): Record<ControlKind, ControlRule> => ({
  hiddenRepeats: {
    refused:
      'Every trial of this method puts the same samples again, so each repeats the others. Take more trials instead.',
  },
  identicalPairs: { refused: identical },
  knownDifference: 'added',
  units,
});
