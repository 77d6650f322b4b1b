import type { StudyId } from '../../shared/brands';
import type { StudyState } from '../../shared/states';
import { readLedger } from '../store/ledger';
import type { Db } from '../store/open';
import { listStudies } from '../store/studies';
import { isJson } from './is-json';
import { brokenAt, ledgerOf } from './ledger';

/** The ledger of one study, as somebody who keeps copies wants to know it. */
export interface Chain {
  id: StudyId;
  state: StudyState;
  entries: number;
  /** Hash of the last entry; null where there is none yet. */
  head: string | null;
  /** The first entry at which the chain breaks; null when it holds. */
  brokenAt: number | null;
}

/** The ledgers of all studies, each gone through from its first entry to its last; the oldest study first. */
export async function chainsOf(db: Db): Promise<Chain[]> {
  const chains: Chain[] = [];
  for (const { id, state } of (await listStudies(db)).toReversed()) {
    const rows = await readLedger(db, id);
    const base = { id, state, entries: rows.length, head: rows.at(-1)?.hash ?? null };
    const unreadable = rows.findIndex(({ body }) => !isJson(body));
    const broken = unreadable < 0 ? brokenAt(await ledgerOf(db, id)) : unreadable + 1;
    chains.push({ ...base, brokenAt: broken });
  }
  return chains;
}
