import type { LedgerEntry } from '../../../shared/record';
import { canonicalJson } from '../canonical-json';
import { looksAt, looksIn } from '../looks';
import { storyOf } from '../story';
import { type CheckLine, fails, holds, untold } from './line';

const what = 'Looks';

/** Whether every look showed what the answers before it give; none where nobody looked. */
export function lookLines(ledger: readonly LedgerEntry[]): CheckLine[] {
  const taken = looksIn(ledger);
  if (taken.length === 0) return [];
  const { key } = storyOf(ledger);
  const times = taken.length === 1 ? 'once' : `${taken.length} times`;
  if (key === null) return [untold(what, `looked at ${times}; the study is sealed: what was shown can’t be told yet`)];
  for (const { seq, upTo, audiences } of taken) {
    if (!(upTo >= 1 && upTo < seq)) return [fails(what, 'a look took in entries that were not there yet', seq)];
    const anew = looksAt(ledger.slice(0, upTo), key);
    if (canonicalJson(anew) !== canonicalJson(audiences)) {
      return [fails(what, 'a look showed something else than the answers before it give', seq)];
    }
  }
  return [holds(what, `looked at ${times}, each as the answers by then give it`)];
}
