import { methodOf } from '../../protocols/index';
import type { FlowCounts } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { sentOf } from '../blinding/outcomes';
import type { StudyStory } from '../blinding/story';
import type { TrialStory } from '../blinding/trial-story';

/**
 * Who came and what became of every sitting and every trial. Nothing drops out of the count: sittings held are
 * finished, cut or open; trials planned or put again are answered, void or lost.
 */
export function flowOf(story: StudyStory): FlowCounts {
  const { sittings } = story;
  const seated = new Set(sittings.map((sitting) => sitting.listener));
  const finished = [...seated].filter((listener) => {
    const own = sittings.filter((sitting) => sitting.listener === listener);
    return own.filter((sitting) => sitting.ended === 'finished').length >= story.plan.sessions.count;
  });
  const ended = (how: 'finished' | 'cut' | 'open') => sittings.filter((sitting) => sitting.ended === how).length;
  const trials = sittings.flatMap((sitting) => sitting.trials);
  const scored = trials.filter((trial) => !trial.practice);
  const answered = scored.filter((trial) => trial.state === 'answered');
  const spoilt = scored.filter((trial) => trial.state === 'void');
  const analysed = new Set(
    sittings
      .filter((sitting) => sitting.trials.some((trial) => !trial.practice && trial.state === 'answered'))
      .map((sitting) => sitting.listener),
  );
  return {
    listeners: {
      planned: story.plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0),
      joined: story.joined.length,
      seated: seated.size,
      finished: finished.length,
      analysed: analysed.size,
    },
    sittings: {
      held: sittings.length,
      finished: ended('finished'),
      cut: ended('cut'),
      open: ended('open'),
      postponed: story.postponed,
      marked: sittings.filter((sitting) => sitting.marked).length,
      outside: sittings.filter((sitting) => sitting.outside).length,
    },
    trials: {
      planned: scored.filter((trial) => trial.replaces === null).length,
      answered: answered.length,
      void: spoilt.length,
      again: scored.filter((trial) => trial.replaces !== null).length,
      lost: scored.filter((trial) => trial.state === 'open').length,
      practice: trials.filter((trial) => trial.practice).length,
      analysed: answered.length,
      late: lateAmong(answered, story.plan),
    },
    voidReasons: countBy(spoilt),
  };
}

/** Scored by the method without a look at the key: on scales, what was heard makes no answer later. */
function lateAmong(answered: readonly TrialStory[], plan: Plan): number {
  const { protocol, form } = methodOf(plan);
  if (form.kind !== 'scales') return 0;
  const blank = { ordinal: 1, practice: false, presentations: [], shown: [], replaces: null };
  return answered.filter((trial) => {
    const sent = sentOf(trial);
    const answer = sent && protocol.read(form, trial.codes, sent);
    return answer !== null && protocol.score(form, blank, answer).some(({ late }) => late);
  }).length;
}

function countBy(spoilt: readonly TrialStory[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const { voidReason } of spoilt) counts[voidReason ?? 'other'] = (counts[voidReason ?? 'other'] ?? 0) + 1;
  return counts;
}
