import type { StudyRecord } from '../../../shared/record';
import { findingsHead } from '../exclusions';
import { brokenAt } from '../ledger';
import { lockedKey } from '../record';
import { signatureLines } from './signatures';
import { stepsLine } from './steps';

const noLonger = 'Signature no longer valid:';

/**
 * Why the signature under a verdict, or the refusal, is no longer valid, or that no key stands behind it; null while it is
 * valid, and where there is none.
 */
export function decisionInvalid(record: StudyRecord, findingsHash: string): string | null {
  const decision = record.ledger.find(({ kind }) => kind === 'signed' || kind === 'refused');
  if (!decision) return null;
  const broken = brokenAt(record.ledger);
  if (broken !== null) return `${noLonger} entry ${broken} of the record was changed since.`;
  const locked = record.ledger.find(({ kind }) => kind === 'plan-locked');
  if (lockedKey(record.ledger) === null && !record.signatures.some(({ seq }) => seq === locked?.seq)) {
    return 'No key stands behind this: the plan was locked by an older version, before records were signed.';
  }
  const wrong = [...signatureLines(record), stepsLine(record.ledger)].find(({ holds }) => holds === false);
  if (wrong) return `${noLonger} ${wrong.entry === undefined ? '' : `entry ${wrong.entry}, `}${wrong.detail}.`;
  const { dataHash } = decision.body;
  if (typeof dataHash === 'string' && dataHash !== findingsHead(record.ledger)?.hash) {
    return `${noLonger} the data end at another entry than those that were decided on.`;
  }
  return decision.body.findingsHash === findingsHash
    ? null
    : `${noLonger} the findings computed now are not those that were decided on.`;
}
