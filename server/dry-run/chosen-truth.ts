import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { truthOf } from '../demo/rehearsal-truth';
import type { RehearsalTruth } from '../rehearse';

/**
 * A TRUTH by one word, as in a rehearsal. Where nobody prefers anything on the whole, single listeners still have tastes:
 * a test that takes answers for people would be fooled by them.
 */
export function chosenTruth(plan: Plan, choice: RehearsalTruth): TruthDocument {
  const { driftPerSession: _, ...truth } = truthOf(plan, choice);
  const { family } = methodOf(plan).protocol;
  const ofTaste = family === 'preference' || family === 'ranking';
  return choice === 'nothing' && ofTaste ? { ...truth, gamma: 0.3 } : truth;
}
