import {
  alignments,
  interruptionRules,
  levelsCount,
  matchings,
  planLimits,
  plays,
  wirelessRules,
} from '../../shared/plan';
import { alignmentWords, interruptionWords, matchingWords, wirelessWords } from '../plan-words';
import { choices } from './choices';
import type { Draft } from './draft';
import { hasWindow } from './method-fields';
import type { FieldOf } from './plan-page-method';
import { playbackShown } from './usual';
import type { PlanSound } from './view-models';

/** What the plan page asks about sound that the listener's page plays. */
export function soundPart(draft: Draft, field: FieldOf): PlanSound {
  const { sound } = draft;
  const playback = playbackShown(draft.playback);
  return {
    plays: plays({ playback }),
    renders: playback === 'renders',
    levels: levelsCount({ playback }),
    window: hasWindow(draft.method),
    band: sound.match.kind === 'band',
    excerpts: draft.excerpts.map(({ id, name }, i) => ({
      number: i + 1,
      id,
      name: field(`excerpts.${i}.name`, name),
    })),
    excerptsError: field('excerpts', '').error,
    canAdd: draft.excerpts.length < planLimits.excerpts,
    match: choices(matchings, sound.match.kind, (kind) => pair(matchingWords[kind])),
    low: field('sound.match.low', sound.match.low),
    high: field('sound.match.high', sound.match.high),
    alignment: choices(alignments, sound.alignment, (one) => pair(alignmentWords[one])),
    ...soundRules(draft, field),
  };
}

/** Those that may change later, too. */
export const soundRules = (
  { sound }: Draft,
  field: FieldOf,
): Pick<PlanSound, 'minimumSeconds' | 'interruption' | 'wireless'> => ({
  minimumSeconds: field('sound.minimumSeconds', sound.minimumSeconds),
  interruption: choices(interruptionRules, sound.interruption, (rule) => pair(interruptionWords[rule])),
  wireless: choices(wirelessRules, sound.wireless, (rule) => pair(wirelessWords[rule])),
});

const pair = ({ name, how }: { name: string; how: string }): [label: string, hint: string] => [name, how];
