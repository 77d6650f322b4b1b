import type { Held } from '../../shared/findings-done';
import type { LedgerEntry } from '../../shared/record';
import type { Material } from './part-of-findings';

/** When a study was held, and by which version. @param ledger up to the unsealing */
export function heldOf(ledger: readonly LedgerEntry[], { story }: Pick<Material, 'story'>): Held {
  const last = (kind: string) => ledger.findLast((entry) => entry.kind === kind);
  const locked = ledger.find(({ kind }) => kind === 'plan-locked');
  const closings = ledger.filter(({ kind }) => kind === 'session-closed');
  const versions = new Map<string, number>();
  for (const { body } of ledger.filter(({ kind }) => kind === 'consented')) {
    const version = String(body.version ?? '');
    if (version !== '') versions.set(version, (versions.get(version) ?? 0) + 1);
  }
  return {
    sessions: story.sessions.map(({ id, number, openedAt }) => ({
      number,
      openedAt,
      closedAt: closings.find(({ body }) => body.session === id)?.at ?? null,
      sittings: story.sittings.filter(({ session }) => session === id).length,
    })),
    lockedAt: locked?.at ?? '',
    closedAt: last('study-closed')?.at ?? null,
    unsealedAt: last('unsealed')?.at ?? '',
    lockedBy: typeof locked?.body.tool === 'string' ? locked.body.tool : null,
    consent: [...versions].map(([version, times]) => ({ version, times })),
  };
}
