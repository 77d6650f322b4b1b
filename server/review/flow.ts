import type { FlowCounts } from '../../shared/findings';
import type { StudyStory, TrialStory } from '../blinding/outcomes';

/** Who came and what became of every trial. Nothing drops out of the count: planned + again = answered + void + lost. */
export function flowOf(story: StudyStory): FlowCounts {
  const seated = new Set(story.sittings.map((sitting) => sitting.listener));
  const finished = [...seated].filter((listener) => {
    const own = story.sittings.filter((sitting) => sitting.listener === listener);
    return own.filter((sitting) => sitting.ended === 'finished').length >= story.plan.sessions.count;
  });
  const trials = story.sittings.flatMap((sitting) => sitting.trials);
  const scored = trials.filter((trial) => !trial.practice);
  const answered = scored.filter((trial) => trial.state === 'answered');
  const spoilt = scored.filter((trial) => trial.state === 'void');
  const analysed = new Set(
    story.sittings
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
    trials: {
      planned: scored.filter((trial) => trial.replaces === null).length,
      answered: answered.length,
      void: spoilt.length,
      again: scored.filter((trial) => trial.replaces !== null).length,
      lost: scored.filter((trial) => trial.state === 'open').length,
      practice: trials.filter((trial) => trial.practice).length,
      analysed: answered.length,
    },
    voidReasons: countBy(spoilt),
  };
}

function countBy(spoilt: readonly TrialStory[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const { voidReason } of spoilt) counts[voidReason ?? 'other'] = (counts[voidReason ?? 'other'] ?? 0) + 1;
  return counts;
}
