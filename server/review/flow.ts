import type { FlowCounts } from '../../shared/findings';
import { decidedBlind, isLeftOut, type Judged, judgedOf } from '../blinding/left-out';
import type { StudyStory } from '../blinding/story';
import type { TrialStory } from '../blinding/trial-story';

/**
 * Who came and what became of every sitting and every trial. Nothing drops out of the count: sittings held are
 * finished, cut or open; trials planned or put again are answered, void or lost; answered trials are analysed or left
 * out. What was left out with the verdict in sight is still counted as analysed.
 * @param controls how many of the trials analysed are controls, where the plan adds any and the study is unsealed
 */
export function flowOf(story: StudyStory, controls?: number): FlowCounts {
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
  const values = judgedOf(story);
  const exclusions = decidedBlind(story);
  const kept = values.filter((one) => !isLeftOut(one, story.plan, exclusions));
  const analysed = trialsOf(kept);
  const partly = values.filter((one) => analysed.has(one.trial) && isLeftOut(one, story.plan, exclusions));
  return {
    listeners: {
      planned: story.plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0),
      joined: story.joined.length,
      seated: seated.size,
      finished: finished.length,
      analysed: new Set(kept.map(({ listener }) => listener)).size,
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
      analysed: analysed.size,
      leftOut: answered.length - analysed.size,
      partly: trialsOf(partly).size,
      late: trialsOf(kept.filter(({ late }) => late)).size,
      quarantined: story.quarantined.filter(({ practice }) => !practice).length,
      ...(controls === undefined ? {} : { controls }),
    },
    voidReasons: countBy(spoilt),
  };
}

const trialsOf = (values: readonly Judged[]): Set<string> => new Set(values.map(({ trial }) => trial));

function countBy(spoilt: readonly TrialStory[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const { voidReason } of spoilt) counts[voidReason ?? 'other'] = (counts[voidReason ?? 'other'] ?? 0) + 1;
  return counts;
}
