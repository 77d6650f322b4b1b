import type { Plan } from '../shared/plan';

/**
 * The α that one of so many audiences is sure to be tested at: Holm's first step. What power is stated for, since a
 * higher one comes only when other audiences show something.
 */
export const alphaEach = (plan: Pick<Plan, 'risks' | 'audiences'>, audiences = plan.audiences.length): number =>
  plan.risks.alpha / Math.max(1, audiences);
