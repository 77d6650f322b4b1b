import type { SentGrades } from '../../protocols/protocol';
import type { LedgerEntry } from '../../shared/record';
import { string } from './trial-story';

/** An answer that came after its session or study was closed: kept, counted, never analysed. */
export interface Quarantined {
  seq: number;
  at: string;
  sitting: string;
  trial: string;
  why: 'study-closed' | 'session-closed';
  practice: boolean;
  /** The code that was picked, or `none`; null for ratings and grades. */
  answer: string | null;
  ratings: { scale: string; value: number }[] | null;
  grades: SentGrades | null;
}

/** Late answers in order of arrival. Words that came late belong to an answer, and are none. */
export const quarantinedIn = (ledger: readonly LedgerEntry[]): Quarantined[] =>
  ledger
    .filter(({ kind, body }) => kind === 'quarantined' && body.kind !== 'words')
    .map(({ seq, at, body }) => ({
      seq,
      at,
      sitting: string(body, 'sitting'),
      trial: string(body, 'trial'),
      why: string(body, 'why') as Quarantined['why'],
      practice: body.practice === true,
      answer: Array.isArray(body.ratings) || Array.isArray(body.grades) ? null : string(body, 'answer'),
      ratings: Array.isArray(body.ratings) ? (body.ratings as Quarantined['ratings']) : null,
      grades: Array.isArray(body.grades) ? ({ grades: body.grades, ticks: body.ticks } as SentGrades) : null,
    }));
