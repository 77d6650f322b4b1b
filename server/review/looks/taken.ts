import { hasLooks } from '../../../protocols/looks';
import type { Findings } from '../../../shared/findings';
import type { LedgerEntry } from '../../../shared/record';
import { looksIn } from '../../blinding/looks';
import type { StudyStory } from '../../blinding/story';
import { string } from '../../blinding/trial-story';

/** The looks that were taken, and what could have been done with what they showed; undefined where the plan has none. */
export function looksTakenIn(ledger: readonly LedgerEntry[], story: StudyStory): Findings['looks'] {
  if (!hasLooks(story.plan)) return undefined;
  const taken = looksIn(ledger);
  const names = [...new Set(taken.map(({ by }) => by))];
  return {
    taken: taken.map(({ at, by, upTo, audiences }) => ({ at, by, upTo, audiences })),
    alsoAtDesk: names.filter((name) => story.operators.includes(name)),
    voidedSince: voidedSince(ledger, taken[0]?.seq ?? Number.POSITIVE_INFINITY),
  };
}

/** Answers from before a look that were voided after one. */
function voidedSince(ledger: readonly LedgerEntry[], firstLook: number): number {
  const answered = new Map<string, number>();
  const looks = ledger.filter(({ kind }) => kind === 'looked').map(({ seq }) => seq);
  let count = 0;
  for (const { seq, kind, body } of ledger) {
    if (kind === 'answered' && body.practice !== true) answered.set(string(body, 'trial'), seq);
    if (kind !== 'trial-voided' || seq < firstLook) continue;
    const came = answered.get(string(body, 'trial'));
    if (came !== undefined && looks.some((look) => came < look && look < seq)) count++;
  }
  return count;
}
