import type { Findings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import type { StudyRecord } from '../../../shared/record';
import { planVersions } from '../../blinding/amendments';
import { keyFails } from '../../blinding/check/key-holds';
import { type MajorDeviation, majorDeviations } from '../../blinding/deviations';
import { findingsHead } from '../../blinding/exclusions';
import { brokenAt } from '../../blinding/ledger';
import { type RoleTold, rolesTold } from '../../blinding/who-did';
import { decisionOf, laterWords, recordNotes } from '../decision-told';
import { findingsHash, findingsOf } from '../findings';
import type { VerdictPage } from '../view-models';
import type { ComputedPart } from './parts';

/** All that pages and the sign-off need of the record of an unsealed study, so that none of them reads it again. */
export interface Reading {
  findings: Findings;
  findingsHash: string;
  plan: Plan;
  /** The first entry at which the chain breaks. */
  broken: number | null;
  /** Why the key isn't verified, in words. */
  keyFails: string | null;
  deviations: MajorDeviation[];
  told: RoleTold[];
  decision: VerdictPage['decision'];
  later: string | null;
  /** First lines of the letter, before what the findings say. */
  notes: string[];
}

/** Findings that were computed before of a record whose chain held. */
export type KnownFindings = Pick<Findings, 'computedFrom'> & { findings: Findings; hash: string };

export interface ReadingOptions {
  /**
   * Taken over where the chain holds and the findings end at the same entry: its hash holds all entries before it, so that
   * they can't have changed.
   */
  known?: KnownFindings | undefined;
  hears?: ((part: ComputedPart) => void) | undefined;
}

/** Goes through a whole record: its chain, its key, its findings, and what was decided on them. */
export function readingOf(record: StudyRecord, { known, hears }: ReadingOptions = {}): Reading {
  const { ledger } = record;
  hears?.('chain');
  const broken = brokenAt(ledger);
  hears?.('key');
  const fails = keyFails(record);
  const same = broken === null && known?.computedFrom === findingsHead(ledger)?.hash ? known : undefined;
  const findings = same?.findings ?? findingsOf(record, { hears });
  hears?.('decision');
  const hash = same?.hash ?? findingsHash(findings);
  const plan = planVersions(ledger).at(-1)?.plan;
  if (!plan) throw new Error('This record has no locked plan, so there is nothing to analyse yet.');
  const decision = decisionOf(record, hash);
  return {
    findings,
    findingsHash: hash,
    plan,
    broken,
    keyFails: fails,
    deviations: majorDeviations(ledger),
    told: rolesTold(ledger),
    decision,
    later: laterWords(record),
    notes: recordNotes(record, decision, broken),
  };
}
