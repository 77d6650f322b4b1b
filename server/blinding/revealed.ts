import type { LedgerEntry } from '../../shared/record';
import type { SittingStory } from './sitting-story';
import { flag, string } from './trial-story';

/** Marks what a listener answered after one of his or her codes had been revealed: from then on somebody may have told. */
export function flagRevealed(sittings: readonly SittingStory[], ledger: readonly LedgerEntry[]): void {
  if (!ledger.some(({ kind }) => kind === 'revealed')) return;
  const whose = new Map(
    sittings.flatMap(({ listener, trials }) =>
      trials.map((trial) => [trial.id as string, { listener, trial }] as const),
    ),
  );
  const revealed = new Set<string>();
  for (const { kind, body } of ledger) {
    if (kind === 'revealed') revealed.add(string(body, 'listener'));
    if (kind !== 'answered') continue;
    const own = whose.get(string(body, 'trial'));
    if (own && revealed.has(own.listener)) flag(own.trial, 'revealed');
  }
}
