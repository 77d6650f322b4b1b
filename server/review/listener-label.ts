import type { StudyStory } from '../blinding/story';

/** A listener in a report is a number within the audience: aliases stay on the server. */
export function labelOf(story: Pick<StudyStory, 'joined' | 'plan'>, listener: string): string {
  const member = story.joined.find((one) => one.listener === listener);
  const audience = story.plan.audiences.find((one) => one.id === member?.audience)?.name ?? '';
  return `${audience} ${member?.ordinal ?? '?'}`;
}
