import type { Plan } from '../../shared/plan';
import type { LedgerEntry, StudyRecord } from '../../shared/record';
import { canonicalJson } from '../blinding/canonical-json';
import { chainedTo } from '../blinding/ledger';
import { wholeRecord } from '../blinding/record';
import { toolVersion } from '../root';
import { type BroughtBy, broughtEntries } from './entries';
import type { Brought } from './read-answers';

/** For a study of which no time is known. */
const noTime = new Date(0).toISOString();

/** The latest moment at which anything was answered, by the file; where it has none, the beginning of time. */
export const latestIn = ({ trials }: Brought): string =>
  trials
    .flatMap(({ answeredAt }) => answeredAt ?? [])
    .sort()
    .at(-1) ?? noTime;

/**
 * A record of answers that were gathered elsewhere, made without a server: nobody signs it. The same file, plan and time
 * give the same bytes.
 */
export function importedRecord(brought: Brought, plan: Plan, by: Pick<BroughtBy, 'file' | 'at'>): StudyRecord {
  const ledger: LedgerEntry[] = [];
  for (const { at, actor, kind, body } of broughtEntries(brought, plan, {
    ...by,
    actor: 'import',
    tool: toolVersion,
  })) {
    // As it will be read again: without what is not there.
    const plain = JSON.parse(canonicalJson(body)) as Record<string, unknown>;
    ledger.push(chainedTo(ledger.at(-1) ?? null, { at: new Date(at), actor, kind, body: plain }));
  }
  return wholeRecord(ledger, []);
}
