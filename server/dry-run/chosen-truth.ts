import { methodOf } from '../../protocols/index';
import type { Truth } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { truthOf, truthWith } from '../demo/rehearsal-truth';
import type { RehearsalTruth } from '../rehearse';

/**
 * A TRUTH by one word, as in a rehearsal. Where nobody prefers anything on the whole, single listeners still have tastes:
 * a test that takes answers for people would be fooled by them.
 */
export const chosenTruth = (plan: Plan, choice: RehearsalTruth): TruthDocument =>
  asDocument(plan, choice === 'nothing', truthOf(plan, choice));

/** The same with an effect of one's own, in the measure of the plan's smallest. */
export const withEffect = (plan: Plan, effect: number): TruthDocument =>
  asDocument(plan, false, truthWith(plan, effect, false));

function asDocument(plan: Plan, nothing: boolean, { driftPerSession: _, ...truth }: Truth): TruthDocument {
  const { family } = methodOf(plan).protocol;
  const ofTaste = family === 'preference' || family === 'ranking';
  return nothing && ofTaste ? { ...truth, gamma: 0.3 } : truth;
}
