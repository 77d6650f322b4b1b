import type { ControlKind } from '../shared/plan';
import type { ControlRule } from './protocol';

/** What methods make of controls that ask about one sample at a time. */
export const oneByOneControls: Record<ControlKind, ControlRule> = {
  hiddenRepeats: 'own',
  identicalPairs: { refused: 'Samples come one by one, in no pairs. Take hidden repeats instead.' },
  knownDifference: {
    refused: 'Every sample is rated by itself. Take the known sample as a further prototype instead.',
  },
  units: {
    refused: 'Samples come one by one, in no pairs. Give a prototype two units: listeners hear both over the sittings.',
  },
};
