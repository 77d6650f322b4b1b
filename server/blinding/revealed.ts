import type { LedgerEntry } from '../../shared/record';
import type { SittingStory } from './sitting-story';
import { flag, string } from './trial-story';

/**
 * Marks what listeners answered after one of their codes had been revealed: from then on somebody may have told. And
 * what was answered by whoever had seen the key themselves, on a sheet or by a code.
 */
export function flagRevealed(sittings: readonly SittingStory[], ledger: readonly LedgerEntry[]): void {
  if (!ledger.some(({ kind, body }) => kind === 'revealed' || body.listeners !== undefined)) return;
  const whose = new Map(
    sittings.flatMap(({ listener, trials }) =>
      trials.map((trial) => [trial.id as string, { listener, trial }] as const),
    ),
  );
  const revealed = new Set<string>();
  const sawKey = new Set<string>();
  for (const { kind, body } of ledger) {
    if (kind === 'revealed') revealed.add(string(body, 'listener'));
    const looked = kind === 'revealed' || kind === 'sheet-opened';
    if (looked && Array.isArray(body.listeners)) for (const one of body.listeners) sawKey.add(String(one));
    if (kind !== 'answered') continue;
    const own = whose.get(string(body, 'trial'));
    if (own && revealed.has(own.listener)) flag(own.trial, 'revealed');
    if (own && sawKey.has(own.listener)) flag(own.trial, 'saw-key');
  }
}
