import { methodOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import type { ExclusionRule, Plan } from '../../shared/plan';
import type { Exclusion } from './exclusions';
import { flagsOf, sentOf } from './outcomes';
import type { StudyStory } from './story';

/** Which values of answers are left out of the analysis, told without a look at the key. */

/** A value of an answer, as far as rules and people judge it: never by what was answered. */
export type Judged = Pick<Outcome, 'listener' | 'sitting' | 'trial' | 'flags' | 'late'>;

/** The rules of the plan under which a value falls. */
export const rulesAgainst = ({ late, flags }: Pick<Judged, 'late' | 'flags'>, plan: Plan): ExclusionRule[] =>
  plan.exclusions.filter((rule) => (rule === 'late' ? late : flags.includes(rule)));

export const isAbout = ({ what, id }: Exclusion, one: Pick<Judged, Exclusion['what']>): boolean => one[what] === id;

export const isLeftOut = (one: Judged, plan: Plan, exclusions: readonly Exclusion[]): boolean =>
  rulesAgainst(one, plan).length > 0 || exclusions.some((exclusion) => isAbout(exclusion, one));

/** What the main verdict leaves out besides the plan's rules. */
export const decidedBlind = ({ exclusions }: Pick<StudyStory, 'exclusions'>): Exclusion[] =>
  exclusions.filter(({ decided }) => decided === 'blind');

/** Every value of every scored answer. On scales a method scores without the key: what was heard makes nothing later. */
export function judgedOf(story: StudyStory): Judged[] {
  const { protocol, form } = methodOf(story.plan);
  const blank = { ordinal: 1, practice: false, presentations: [], shown: [], replaces: null };
  return story.sittings.flatMap((sitting) =>
    sitting.trials.flatMap((trial): Judged[] => {
      if (trial.practice || trial.state !== 'answered') return [];
      const own = {
        listener: sitting.listener,
        sitting: sitting.id,
        trial: trial.id,
        flags: flagsOf(sitting, trial),
        late: false,
      };
      const sent = form.kind === 'scales' ? sentOf(trial) : null;
      const answer = sent && protocol.read(form, trial.codes, sent);
      return answer === null
        ? [own]
        : protocol.score(form, blank, answer, story.plan).map(({ late }) => ({ ...own, late }));
    }),
  );
}
