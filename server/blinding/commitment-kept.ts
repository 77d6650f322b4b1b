import { commitmentOf } from './key';
import type { StudyStory } from './story';

/** Whether the published seed is the one that was committed to when the plan was locked. False while it is sealed. */
export function commitmentKept({
  key,
  lockedHash,
  commitment,
}: Pick<StudyStory, 'key' | 'lockedHash' | 'commitment'>): boolean {
  return key !== null && commitmentOf(Buffer.from(key.seed, 'hex'), lockedHash) === commitment;
}
