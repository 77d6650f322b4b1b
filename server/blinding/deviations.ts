import type { LedgerEntry } from '../../shared/record';
import { utcMinute } from '../time-words';
import { amendmentsOf, planVersions } from './amendments';
import { gatheredElsewhere, importedEntry } from './imported';
import { keyEventsOf } from './key-events';
import { olderCopies } from './older-copies';

/** What whoever signs a verdict has to have seen, each by itself: the entry of the ledger that tells of it, in words. */
export interface MajorDeviation {
  entry: number;
  words: string;
}

/**
 * What went otherwise than planned and may touch the verdict itself, and has nobody's signature yet: a plan that was
 * amended when there were answers, a code that was revealed or a key put back before the end, a study that became single
 * blind on the way, a ledger that went back to an older copy, answers that were gathered elsewhere. Level deviations have
 * the signature of whoever went on with them; incidents, losses and marks are told and counted in the letter.
 */
export function majorDeviations(ledger: readonly LedgerEntry[]): MajorDeviation[] {
  const answered = ledger.findIndex(({ kind }) => kind === 'answered');
  const unsealed = ledger.find(({ kind }) => kind === 'unsealed')?.seq ?? Number.POSITIVE_INFINITY;
  const brought = importedEntry(ledger);
  const versions = new Map(planVersions(ledger).map(({ version, from }) => [version, from]));
  const found: MajorDeviation[] = [
    ...(brought ? [{ entry: brought.seq, words: `${capital(gatheredElsewhere)}.` }] : []),
    ...amendmentsOf(ledger).flatMap(({ number, planVersion, reason, reopened, by, at }) => {
      const entry = versions.get(planVersion) ?? 0;
      if (!reopened && (answered < 0 || entry <= answered + 1)) return [];
      const what = reopened
        ? `Amendment ${number} reopened the study after it was closed`
        : `Amendment ${number} changed the plan when there were answers`;
      return [{ entry, words: `${what} (${by}, ${utcMinute(at)}): ${reason}` }];
    }),
    ...ledger
      .filter(({ seq, kind }) => seq < unsealed && (kind === 'revealed' || kind === 'key-put-back'))
      .flatMap((entry) =>
        keyEventsOf([entry], '').map(({ who, at, where }) => ({
          entry: entry.seq,
          words:
            entry.kind === 'revealed'
              ? `A code was revealed before the end (${who}, ${utcMinute(at)}): ${where}`
              : `The key was put back for a while (${who}, ${utcMinute(at)}).`,
        })),
      ),
    ...ledger
      .filter(({ kind }) => kind === 'single-blind')
      .map(({ seq, body }) => ({ entry: seq, words: `The study became single blind: ${String(body.reason)}` })),
    ...olderCopies(ledger).map(({ seq, words }) => ({ entry: seq, words })),
  ];
  return found.sort((a, b) => a.entry - b.entry);
}

const capital = (words: string): string => words.charAt(0).toUpperCase() + words.slice(1);
