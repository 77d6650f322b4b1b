import { protocolOf } from '../protocols/index';
import type { Plan } from '../shared/plan';
import { planOf } from './command';
import type { StudyRow } from './store/tables';

/**
 * What those rooms know of a plan that make what phones and the desk show: how it asks, and nothing of what. There are
 * no prototypes, units or names in it, and not even the question and the title.
 */
export type BlindPlan = Pick<
  Plan,
  | 'method'
  | 'audiences'
  | 'sessions'
  | 'checkIn'
  | 'handling'
  | 'playback'
  | 'sound'
  | 'tips'
  | 'noPreference'
  | 'firstImpression'
  | 'follows'
  | 'quick'
> & {
  /** The words from which listeners choose in the end, in the order of the plan, without what each stands for. */
  closingQuestion?: { labels: { words: string }[] };
  /** How many prototypes there are. */
  samples: number;
};

export function blindPlanOf(study: Pick<StudyRow, 'plan'>): BlindPlan {
  const plan = planOf(study);
  const known = blind.get(plan);
  if (known) return known;
  const { audiences, sessions, checkIn, handling, playback, tips, noPreference } = plan;
  const { firstImpression, follows, closingQuestion, sound, quick } = plan;
  const made: BlindPlan = {
    ...{ method: unnamed(plan.method), audiences, sessions, checkIn, handling, playback, tips, noPreference },
    samples: plan.prototypes.length,
    ...(firstImpression ? { firstImpression } : {}),
    ...(sound ? { sound } : {}),
    ...(quick ? { quick } : {}),
    ...(follows ? { follows } : {}),
    ...(closingQuestion ? { closingQuestion: { labels: closingQuestion.labels.map(({ words }) => ({ words })) } } : {}),
  };
  blind.set(plan, made);
  return made;
}
const blind = new WeakMap<Plan, BlindPlan>();

/** A method whose settings name a prototype is told without it: how it asks doesn't hang on which one. */
function unnamed({ id, spec }: Plan['method']): Plan['method'] {
  const { blindSpec } = protocolOf(id);
  return { id, spec: blindSpec ? blindSpec(protocolOf(id).spec.parse(spec)) : spec };
}
