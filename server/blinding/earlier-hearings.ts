import type { ListenerId, PrototypeId, StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { Db } from '../store/open';
import { findStudy } from '../store/studies';
import { Refusal } from '../web/refusal';
import { planVersions } from './amendments';
import { ledgerOf } from './ledger';
import { toldTrials } from './outcomes';
import { type StudyStory, storyOf } from './story';

export interface Hearings {
  listener: ListenerId;
  prototype: PrototypeId;
  times: number;
}

/**
 * How often each listener has heard each prototype of this plan in the study that it goes on from, what was declared
 * there included. Nothing while that study is sealed: then nobody knows yet what was heard.
 */
export async function earlierHearings(db: Db, plan: Plan): Promise<Hearings[]> {
  if (!plan.follows) return [];
  const study = await findStudy(db, plan.follows.study as StudyId);
  const ledger = study ? await ledgerOf(db, study.id) : [];
  // It may have been amended since, and is still the same study.
  if (!study || !planVersions(ledger).some(({ hash }) => hash === plan.follows?.planHash)) {
    throw new Refusal('conflict', 'The study that this one goes on from is not here, or has another plan by now.', {
      path: 'follows',
    });
  }
  const story = storyOf(ledger);
  return story.key === null ? [] : hearingsOf(story, new Set(plan.prototypes.map(({ id }) => id)));
}

/** Hearings of a whole study that was unsealed, by listener and prototype. */
export function hearingsOf(story: StudyStory, prototypes: ReadonlySet<string>): Hearings[] {
  const found = new Map<string, Hearings>();
  const add = (listener: ListenerId, prototype: PrototypeId, times: number): void => {
    if (times === 0 || !prototypes.has(prototype)) return;
    const at = `${listener} ${prototype}`;
    const before = found.get(at)?.times ?? 0;
    found.set(at, { listener, prototype, times: before + times });
  };
  for (const { sitting, trial, design } of toldTrials(story)) {
    for (const [place, prototype] of design.presentations.entries()) {
      add(sitting.listener, prototype, trial.heard[place] ?? 0);
    }
  }
  for (const { listener, prototype, times } of story.declared) add(listener, prototype, times);
  return [...found.values()];
}
