import type { Plan } from '../shared/plan';
import type { Outcome } from './protocol';

/**
 * Which of a listener's own sittings the verdict counts: those that the plan names, else all alike. The others are looked
 * at for what time does to answers, and decide nothing.
 */

type Days = Pick<Plan, 'verdictDays' | 'sessions'>;

export function isVerdictDay({ sittingNumber }: Pick<Outcome, 'sittingNumber'>, { verdictDays }: Days): boolean {
  return !verdictDays || (sittingNumber >= verdictDays.from && sittingNumber <= verdictDays.to);
}

/** How many of a listener's planned sittings count. */
export function verdictSittings({ verdictDays, sessions }: Days): number {
  if (!verdictDays) return sessions.count;
  return Math.max(0, Math.min(verdictDays.to, sessions.count) - verdictDays.from + 1);
}

/** The plan as its verdict sees it: with as many sessions as count. For sizes and power, never for a draw. */
export function verdictPlan(plan: Plan): Plan {
  return plan.verdictDays ? { ...plan, sessions: { ...plan.sessions, count: verdictSittings(plan) } } : plan;
}
