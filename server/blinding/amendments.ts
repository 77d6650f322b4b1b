import type { StudyId } from '../../shared/brands';
import type { AmendmentFindings } from '../../shared/findings-amendments';
import { type Plan, planSchema } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import { ledgerOfKinds } from '../store/ledger';
import type { Db } from '../store/open';
import { type Body, count, string } from './trial-story';

/** A locked plan changes by numbered amendments only; each makes a version of its own, and the draw follows it. */

export interface PlanVersion {
  version: number;
  plan: Plan;
  hash: string;
  /** The entry of the ledger from which on it holds. */
  from: number;
}

/** Every version of the plan, the locked one first; empty while nothing is locked. @throws Error for a plan that is none. */
export function planVersions(ledger: readonly LedgerEntry[]): PlanVersion[] {
  return ledger
    .filter(({ kind }) => kind === 'plan-locked' || kind === 'amended')
    .map(({ seq, body }) => ({
      version: count(body, 'planVersion'),
      plan: planSchema.parse(body.plan),
      hash: string(body, 'planHash'),
      from: seq,
    }));
}

/** The version that a session is held by. A plan can't change while one is open. @throws Error before the plan is locked. */
export function versionOfSession(ledger: readonly LedgerEntry[], session: number): PlanVersion {
  const opened = ledger.find(({ kind, body }) => kind === 'session-opened' && count(body, 'number') === session);
  const found = planVersions(ledger).findLast(({ from }) => opened === undefined || from < opened.seq);
  if (!found) throw new Error('No session can be held before the plan is locked.');
  return found;
}

/** Entries of some kinds out of a ledger that may be long. */
export async function entriesOf(db: Db, study: StudyId, kinds: string[]): Promise<LedgerEntry[]> {
  const rows = await ledgerOfKinds(db, study, kinds);
  return rows.map(({ study_id: _, body, ...row }) => ({ ...row, body: JSON.parse(body) as Body }));
}

export type Amendment = AmendmentFindings;
export type AmendmentFacts = Amendment['facts'];
export type SeenKind = Amendment['seen']['kind'];
/** A value of the plan before and after, by its path. */
export type PlanChange = Amendment['changes'][number];

/** The amendments of a study, in order. */
export const amendmentsOf = (ledger: readonly LedgerEntry[]): Amendment[] =>
  ledger
    .filter(({ kind }) => kind === 'amended')
    .map(({ at, actor, body }) => ({
      number: count(body, 'number'),
      at,
      by: nameOf(actor),
      reason: string(body, 'reason'),
      seen: seenOf(body.seen as Body | undefined),
      facts: body.facts as AmendmentFacts,
      changes: body.changes as PlanChange[],
      planVersion: count(body, 'planVersion'),
      planHash: string(body, 'planHash'),
      reopened: body.reopened === true,
    }));

function seenOf(seen: Body = {}): Amendment['seen'] {
  return { kind: string(seen, 'kind') as SeenKind, words: string(seen, 'words') };
}

/** What facts are read from. */
export const factKinds = ['answered', 'sheet-opened', 'blind-review-opened', 'revealed', 'looked'];

/** What could be known of the answers and of the key by the end of this ledger. */
export function factsOf(ledger: readonly LedgerEntry[]): AmendmentFacts {
  const who = (kind: string) => [
    ...new Set(ledger.filter((entry) => entry.kind === kind).map(({ actor }) => nameOf(actor))),
  ];
  const looked = who('looked');
  return {
    answers: ledger.filter(({ kind, body }) => kind === 'answered' && body.practice !== true).length,
    sheets: who('sheet-opened'),
    blindReview: who('blind-review-opened'),
    codes: who('revealed'),
    // Left out where nobody looked, as it was before there were looks.
    ...(looked.length > 0 && { looked }),
  };
}

const nameOf = (actor: string): string => actor.replace(/^staff:/, '');
