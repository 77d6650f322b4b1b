import type { LedgerEntry } from '../../shared/record';
import { type SoundMatch, soundMatchSchema } from '../../shared/sound-match';

export interface MatchEntry {
  seq: number;
  at: string;
  match: SoundMatch;
}

/** Every time that sound was matched, in order: what is played is by the last before it. */
export const matchesIn = (ledger: readonly LedgerEntry[]): MatchEntry[] =>
  ledger
    .filter(({ kind }) => kind === 'sound-matched')
    .map(({ seq, at, body }) => ({ seq, at, match: soundMatchSchema.parse(body) }));

/** The files that a study was made of, each once. */
export function filesOf(ledger: readonly LedgerEntry[]): { sha256: string; name: string }[] {
  const files = new Map<string, string>();
  for (const { files: own } of matchesIn(ledger).at(-1)?.match.excerpts ?? []) {
    for (const { sha256, name } of own) if (!files.has(sha256)) files.set(sha256, name);
  }
  return [...files].map(([sha256, name]) => ({ sha256, name }));
}
