import type { ControlKind } from '../shared/plan';
import type { ControlRule } from './protocol';

/** What a method whose answers are right or wrong makes of controls. */
export const differenceControls: Record<ControlKind, ControlRule> = {
  hiddenRepeats: {
    refused:
      'Every trial of this method puts the same two again, so each repeats the others. Take more trials instead.',
  },
  identicalPairs: {
    refused:
      'Where all samples are one and the same no answer is right, and guessing is what this method reckons with anyway. Put two units of one prototype instead.',
  },
  knownDifference: 'added',
  units: 'added',
};

/** The same for a method that asks which one has more: the known difference is a sample that plainly has. */
export const directionalControls: Record<ControlKind, ControlRule> = {
  ...differenceControls,
  units: {
    refused:
      'This method asks which one has more of something, and of two units of one prototype neither should. Put them in an ABX or a triangle instead.',
  },
};
