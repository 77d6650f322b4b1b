import type { Findings } from '../../shared/findings';
import type { Told } from '../blinding/outcomes';
import type { StudyStory } from '../blinding/story';
import { labelOf } from './listener-label';

/**
 * How often everybody who had a seat heard each prototype: in the test, practice and spoilt trials included, and
 * outside, as it was declared. Every prototype has its row, since a zero says something too.
 */
export function exposuresOf(story: StudyStory, told: readonly Told[]): Findings['exposures'] {
  const { plan } = story;
  const seated = plan.audiences.flatMap(({ id }) =>
    story.joined
      .filter(
        ({ listener, audience }) => audience === id && story.sittings.some((sitting) => sitting.listener === listener),
      )
      .sort((a, b) => (a.ordinal ?? 0) - (b.ordinal ?? 0)),
  );
  return seated.flatMap(({ listener, audience }) =>
    plan.prototypes.map((prototype) => ({
      listener: labelOf(story, listener),
      audience: audience as string,
      prototype: prototype.id,
      heard: told
        .filter(({ sitting }) => sitting.listener === listener)
        .reduce(
          (sum, { trial, design }) =>
            sum +
            design.presentations.reduce(
              (own, id, place) => own + ((id as string) === prototype.id ? (trial.heard[place] ?? 0) : 0),
              0,
            ),
          0,
        ),
      declared: story.declared
        .filter((one) => one.listener === listener && (one.prototype as string) === prototype.id)
        .reduce((sum, { times }) => sum + times, 0),
    })),
  );
}
