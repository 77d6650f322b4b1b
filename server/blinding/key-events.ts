import type { Findings } from '../../shared/findings';
import type { LedgerEntry } from '../../shared/record';
import { nameOf } from './who-did';

export type KeyEvent = Findings['blind']['keyEvents'][number];

const deskWork = ['session-opened', 'seated', 'handed-over', 'trial-voided'];

/**
 * Every look at the key, and every try at one, as a ledger tells it. Planned is what the handling asks for: a sheet
 * opened by the preparer, who had not run the desk, and the unsealing. Whoever opens a sheet first is the preparer where
 * nobody was given that role. Wrong passphrases are counted by who typed them where, and stand at the first.
 */
export function keyEventsOf(ledger: readonly LedgerEntry[], handling: string): KeyEvent[] {
  const events: KeyEvent[] = [];
  const preparers = new Set<string>();
  const operators = new Set<string>();
  let first: string | null = null;
  for (const { kind, actor, body, at } of ledger) {
    const who = nameOf(actor);
    const note = (what: KeyEvent['what'], where: string, planned: boolean) =>
      void events.push({ at, who, what, where, planned, times: 1 });
    if (deskWork.includes(kind)) operators.add(who);
    if (kind === 'role-given' && body.role === 'preparer') preparers.add(String(body.staff));
    if (kind === 'role-taken-away' && body.role === 'preparer') preparers.delete(String(body.staff));
    switch (kind) {
      case 'sheet-opened': {
        first ??= who;
        const theirs = preparers.size > 0 ? preparers.has(who) : who === first;
        note('sheet-opened', `session ${body.session}`, theirs && (handling === 'solo' || !operators.has(who)));
        break;
      }
      case 'revealed':
        note('code-revealed', `code ${body.code}, session ${body.session}: ${body.reason}`, false);
        break;
      case 'key-put-back':
        note('key-put-back', '', false);
        break;
      case 'amended':
        // Reopening puts the key back, too.
        if (body.reopened === true) note('key-put-back', 'to reopen the study', false);
        break;
      case 'key-refused': {
        const where = refusedAt[String(body.what)] ?? '';
        const before = events.find(
          (one) => one.what === 'passphrase-refused' && one.who === who && one.where === where,
        );
        if (before) before.times++;
        else note('passphrase-refused', where, false);
        break;
      }
      case 'unsealed':
        note('unsealed', '', true);
        break;
    }
  }
  return events;
}

/** By the command that wanted the passphrase. */
const refusedAt: Record<string, string> = {
  'open-sheet': 'at the sheet',
  unseal: 'at the unsealing',
  reveal: 'at revealing a code',
  'reveal-code': 'at revealing a code',
  amend: 'at reopening',
  reopen: 'at reopening',
};
