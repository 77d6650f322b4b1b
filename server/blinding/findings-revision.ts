import type { LedgerEntry } from '../../shared/record';

/**
 * What findings hold has grown. Which parts they have is settled when a study is unsealed, so that what was signed
 * before keeps its findings to the letter.
 *
 * 1: no mark in the entry. 2: answers over time, listeners, units, measured against heard, price steps, flow by audience,
 * planned against done.
 */
export const findingsRevision = 2;

export function revisionOf(ledger: readonly LedgerEntry[]): number {
  const said = ledger.find(({ kind }) => kind === 'unsealed')?.body.findings;
  return typeof said === 'number' ? said : 1;
}
