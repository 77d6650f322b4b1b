import type { Outcome } from '../../../protocols/protocol';
import type { TellsFindings } from '../../../shared/findings-tells';
import type { LedgerEntry } from '../../../shared/record';
import { guessesOf } from '../../blinding/guesses';
import { handlingOf } from '../../blinding/handling';
import type { Told } from '../../blinding/outcomes';
import type { StudyStory } from '../../blinding/story';
import { importedOf } from '../imported';
import { guessFigures } from './guesses';
import { tellTests } from './tests';

/** What the ledger says of how blind a study was in the end. Describes, and changes no verdict. */
export const tellsOf = (
  ledger: readonly LedgerEntry[],
  story: StudyStory,
  told: readonly Told[],
  outcomes: readonly Outcome[],
): TellsFindings => ({
  guesses: guessFigures(story, guessesOf(ledger), told),
  tests: tellTests(story, handlingOf(ledger), told, outcomes, (importedOf(ledger)?.codes ?? 'given') === 'given'),
});
