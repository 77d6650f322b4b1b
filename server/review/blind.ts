import type { Findings } from '../../shared/findings';
import type { StudyStory } from '../blinding/story';
import { blindLabel, blindWeakness, handlingWords } from '../plan-words';

/** How blind a study was: by its plan, by what it earned in the end, and who saw what. */
export function blindOf(story: StudyStory): Findings['blind'] {
  const { handling } = story.plan;
  const weakness = blindWeakness(story.plan);
  const singleBlind = handling === 'solo' || story.singleBlind.length > 0;
  const openers = [...new Set(story.openings.map((opening) => opening.by))];
  return {
    handling,
    label: singleBlind ? handlingWords.solo.label : blindLabel(story.plan),
    singleBlind,
    notes: [
      ...story.singleBlind.map(({ reason }) => `Single blind: ${reason}`),
      ...(weakness === null ? [] : [weakness]),
      openers.length === 0
        ? 'Nobody opened a preparation sheet.'
        : `Opened the preparation sheet: ${openers.join(', ')}. Ran the desk: ${story.operators.join(', ') || 'nobody'}.`,
      ...(sharedSamples(story) ? [sharedWords] : []),
    ],
  };
}

const sharedWords =
  'Seats shared samples. From what had to wait for what, whoever ran the desk could have worked out which codes held one sample, though not which prototype it was.';

/** Whether, with fresh carriers, a session had more seats than some prototype has units. */
function sharedSamples({ plan, sittings }: StudyStory): boolean {
  if (plan.handling !== 'two-person') return false;
  const fewest = Math.min(...plan.prototypes.map((prototype) => prototype.units.length));
  const inSession = new Map<number, number>();
  for (const { sessionNumber } of sittings) inSession.set(sessionNumber, (inSession.get(sessionNumber) ?? 0) + 1);
  return [...inSession.values()].some((seats) => seats > fewest);
}
