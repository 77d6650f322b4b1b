import { hasLooks } from '../../protocols/looks';
import { type Plan, plays } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { toolVersion } from '../root';
import { decisionIn } from './decision-told';

/** How somebody who has the record can see for themselves that a report says what it holds. */
export interface CheckPart {
  /** Of this program. */
  version: string;
  entries: number;
  head: string;
  findings: string;
  /** Of the installation where the plan was locked; null for a plan that was locked before records were signed. */
  key: string | null;
  /** Under the decision; null where there is none. */
  signature: { entry: number; hash: string; signature: string } | null;
  lines: { what: string; means: string }[];
}

export function checkPart(record: StudyRecord, plan: Plan, findingsHash: string): CheckPart {
  const { ledger, keys, signatures } = record;
  const decision = decisionIn(record);
  const signed = signatures.find(({ seq }) => seq === decision?.seq);
  return {
    version: toolVersion,
    entries: ledger.length,
    head: ledger.at(-1)?.hash ?? '',
    findings: findingsHash,
    key: keys.public,
    signature: signed ? { entry: signed.seq, hash: signed.hash, signature: signed.signature } : null,
    lines: lines.filter(({ what }) => (what === 'Sound' ? plays(plan) : what === 'Looks' ? hasLooks(plan) : true)),
  };
}

/** What each line of the check says, for whoever reads it for the first time. */
const lines: CheckPart['lines'] = [
  { what: 'File', means: 'The file is a record, and no byte of it changed by accident since it was written.' },
  {
    what: 'Chain',
    means:
      'Every entry is bound to all before it by its hash. Its head is the one that stands here, if nothing came since.',
  },
  {
    what: 'Key',
    means:
      'With which key steps were signed. Compare it with what was copied when the plan was locked: this alone tells a record that somebody wrote anew.',
  },
  { what: 'Signature', means: 'The plan, closing, unsealing and the decision were signed with that key (Ed25519).' },
  {
    what: 'Order of steps',
    means: 'Nothing was answered before the plan was locked, and nothing changed after closing but what may.',
  },
  {
    what: 'Plan',
    means: 'Each version of the plan is what its hash says, and amendments changed what they say and no more.',
  },
  {
    what: 'Commitment',
    means: 'The seed that was published is the one that was committed to when the plan was locked.',
  },
  { what: 'Draw', means: 'All codes and orders, drawn again from that seed, are those that listeners had.' },
  { what: 'Sound', means: 'Each sample had a file of its own, made of what was matched.' },
  { what: 'Looks', means: 'What was shown on the way is what the answers by then give.' },
  {
    what: 'Findings',
    means:
      'All figures, computed anew from the answers, have the hash that stands here, and it is the one that was decided on.',
  },
];
