import type { ListenerId, SittingId } from '../../shared/brands';
import { type Sureness, sureness } from '../../shared/guesses';
import type { LedgerEntry } from '../../shared/record';
import type { SittingStory } from './sitting-story';
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

/**
 * How many listeners answered on after they had been asked: an amendment gave them more sittings, and they had read by
 * then what samples there may be.
 */
export function askedBeforeTheEnd(ledger: readonly LedgerEntry[], sittings: readonly SittingStory[]): number {
  const whose = new Map(sittings.map(({ id, listener }) => [id as string, listener]));
  const asked = new Set<string>();
  const answeredOn = new Set<string>();
  for (const { kind, body } of ledger) {
    if (kind === 'guessed') asked.add(string(body, 'listener'));
    if (kind !== 'answered' || body.practice === true) continue;
    const listener = whose.get(string(body, 'sitting'));
    if (listener !== undefined && asked.has(listener)) answeredOn.add(listener);
  }
  return answeredOn.size;
}
