import type { StudyRecord } from '../../../shared/record';
import { brokenAt } from '../ledger';
import { signatureLines } from './signatures';
import { stepsLine } from './steps';

/** Why the signature under a verdict, or the refusal, is no longer valid; null while it is, or where there is none. */
export function decisionInvalid(record: StudyRecord, findingsHash: string): string | null {
  const decision = record.ledger.find(({ kind }) => kind === 'signed' || kind === 'refused');
  if (!decision) return null;
  const broken = brokenAt(record.ledger);
  if (broken !== null) return `entry ${broken} of the record was changed since.`;
  const wrong = [...signatureLines(record), stepsLine(record.ledger)].find(({ holds }) => holds === false);
  if (wrong) return `${wrong.entry === undefined ? '' : `entry ${wrong.entry}, `}${wrong.detail}.`;
  return decision.body.findingsHash === findingsHash
    ? null
    : 'the findings computed now are not those that were decided on.';
}
