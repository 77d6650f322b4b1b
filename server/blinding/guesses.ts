import type { ListenerId, SittingId } from '../../shared/brands';
import { type Sureness, sureness } from '../../shared/guesses';
import type { LedgerEntry } from '../../shared/record';
import { string } from './trial-story';

/** What a listener thought their last sample was, when all was over. */
export interface Guess {
  listener: ListenerId;
  sitting: SittingId;
  code: string;
  /** Which of the plan's labels; null for no idea, and where it was skipped. */
  choice: number | null;
  sure: Sureness | null;
  skipped: boolean;
}

/** Everything that was said in answer to the closing question, in the order in which it came. */
export const guessesOf = (ledger: readonly LedgerEntry[]): Guess[] =>
  ledger
    .filter(({ kind }) => kind === 'guessed')
    .map(({ body }) => ({
      listener: string(body, 'listener') as ListenerId,
      sitting: string(body, 'sitting') as SittingId,
      code: string(body, 'code'),
      choice: typeof body.choice === 'number' ? body.choice : null,
      sure: sureness.find((one) => one === body.sure) ?? null,
      skipped: body.skipped === true,
    }));
