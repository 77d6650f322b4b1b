import type { LedgerEntry } from '../../../shared/record';
import { planVersions } from '../amendments';
import { importedEntry } from '../imported';
import { type CheckLine, fails, holds } from './line';

const what = 'Order of steps';

/** What can only be while the study runs. */
const whileRunning: readonly string[] = [
  'joined',
  'arrived',
  'checked-in',
  'seated',
  'handed-over',
  'taken-back',
  'fitted',
  'started',
  'heard',
  'answered',
  'worded',
  'trial-added',
  'trial-voided',
  'sitting-finished',
  'sitting-cut',
  'drawn',
  'guessed',
  'sheet-opened',
  'seat-out',
  'seat-again',
  'session-closed',
  'no-codes-left',
  'sound-made',
  'sound-checked',
  'sound-interrupted',
  'looked',
];
/** What people leave out: after closing, by code, and after unsealing. */
const sifting: readonly string[] = ['excluded', 'exclusion-taken-back'];
/** What may stand after a signature, or a refusal. */
const afterDecision: readonly string[] = ['restored', 'older-copy', 'quarantined'];

type State = 'draft' | 'locked' | 'running' | 'closed' | 'unsealed' | 'decided';

/** Whether the study went from step to step as it must: nothing answered before it was locked or after it was closed. */
export function stepsLine(ledger: readonly LedgerEntry[]): CheckLine {
  let state: State = 'draft';
  const passed: string[] = [];
  const brought = importedEntry(ledger);
  for (const { seq, kind, body } of ledger) {
    if (kind === 'imported' && seq !== brought?.seq) {
      return fails(what, 'answers can be brought in only right after the plan was locked', seq);
    }
    // Nobody drew what was gathered elsewhere, and what was drawn here was gathered here.
    if (brought && kind === 'drawn') return fails(what, 'a draw in a study whose answers were gathered elsewhere', seq);
    const next = after(state, kind, body);
    if (next === null) return fails(what, `${kind} can’t be while the study is ${state}`, seq);
    if (next !== state) passed.push(next);
    state = next;
  }
  const late = matchedTooLate(ledger);
  if (late) return fails(what, 'sound can’t be matched any more once somebody listens', late.seq);
  return holds(what, passed.join(', ') || 'a draft');
}

/**
 * What is played is settled before anybody listens. Only where units are trimmed one by one may it be matched anew, since
 * a unit may measure otherwise later, and then between two sessions.
 */
function matchedTooLate(ledger: readonly LedgerEntry[]): LedgerEntry | undefined {
  const playback = planVersions(ledger)[0]?.plan.playback;
  let [begun, open] = [false, false];
  return ledger.find(({ kind }) => {
    if (kind === 'session-opened') [begun, open] = [true, true];
    if (kind === 'session-closed' || kind === 'study-closed') open = false;
    return kind === 'sound-matched' && begun && (open || playback !== 'seat-player');
  });
}

/** The state after an entry, or null when it can't stand there. */
function after(state: State, kind: string, body: LedgerEntry['body']): State | null {
  if (state === 'decided') return afterDecision.includes(kind) ? state : null;
  const under = state === 'locked' || state === 'running';
  switch (kind) {
    case 'plan-locked':
      return state === 'draft' ? 'locked' : null;
    case 'session-opened':
      return under ? 'running' : null;
    case 'study-closed':
      return state === 'running' ? 'closed' : null;
    case 'amended':
      if (body.reopened === true) return state === 'closed' ? 'running' : null;
      return under || state === 'closed' ? state : null;
    case 'unsealed':
      return state === 'closed' ? 'unsealed' : null;
    case 'signed':
    case 'refused':
      return state === 'unsealed' ? 'decided' : null;
    case 'sound-matched':
      return state === 'draft' || under ? state : null;
    case 'blind-review-opened':
      return state === 'closed' ? state : null;
    default:
      if (sifting.includes(kind)) return state === 'closed' || state === 'unsealed' ? state : null;
      return whileRunning.includes(kind) && !under ? null : state;
  }
}
