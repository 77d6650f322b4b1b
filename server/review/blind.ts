import { protocolOf } from '../../protocols/index';
import type { Findings } from '../../shared/findings';
import { sharedUnits } from '../blinding/shared-units';
import type { StudyStory } from '../blinding/story';
import { blindLabel, blindWeakness, handlingWords, listenersOnly } from '../plan-words';

/** How blind a study was: by its plan, by what it earned in the end, and who saw what. */
export function blindOf(story: StudyStory): Findings['blind'] {
  const { handling } = story.plan;
  const weakness = blindWeakness(story.plan);
  const singleBlind = handling === 'solo' || story.singleBlind.length > 0;
  const shared = handling === 'two-person' && sharedUnits(story);
  // Which two codes are one sample is the very answer where one of two must be told.
  const told = shared && protocolOf(story.plan.method.id).family === 'difference';
  const openers = [...new Set(story.openings.map((opening) => opening.by))];
  return {
    handling,
    label: singleBlind ? handlingWords.solo.label : told ? listenersOnly : blindLabel(story.plan),
    singleBlind,
    notes: [
      ...story.singleBlind.map(({ reason }) => `Single blind: ${reason}`),
      ...(weakness === null ? [] : [weakness]),
      openers.length === 0
        ? 'Nobody opened a preparation sheet.'
        : `Opened the preparation sheet: ${openers.join(', ')}. Ran the desk: ${story.operators.join(', ') || 'nobody'}.`,
      ...(told ? [toldWords] : shared ? [sharedWords] : []),
    ],
  };
}

const sharedWords =
  'Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out which codes held one sample, though not which prototype it was.';

const toldWords =
  'Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out which of the first two the third was, which is the answer.';
