import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis, AudienceResult, Interaction } from './results';

/**
 * A verdict for all audiences together. The plan asks for it beforehand, so that it is one question more: it stands in the
 * family of the audiences as one of them, and every p is corrected for that many. It is given only where it isn't shown
 * that audiences answer differently.
 */

/** No id of a plan can be this one. */
export const together = '*' as AudienceId;

/** Audiences that differ at this level are not pooled: laxer than α, since nothing shown is no proof that they are alike. */
export const poolingLevel = 0.1;

export interface Pooled {
  allowed: boolean;
  reason: 'not-shown-to-differ' | 'differ' | 'too-few';
  /** Of the interaction, and the level that it was held against. */
  p: number | null;
  level: number;
  result: AudienceResult | null;
}

export type Analyse = (outcomes: readonly Outcome[], plan: Plan, options?: AnalyseOptions) => Analysis;

export const pools = (plan: Pick<Plan, 'pooling' | 'audiences'>): boolean =>
  plan.pooling === 'if-alike' && plan.audiences.length > 1;

/** The plan with one audience more, of everybody. What power and corrections are stated for. */
export function pooledPlan(plan: Plan): Plan {
  if (!pools(plan)) return plan;
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  return { ...plan, audiences: [...plan.audiences, { id: together, name: 'All audiences together', listeners }] };
}

/** Audiences one by one, corrected with the question about all, and all together where that is allowed. */
export function analysePooled(
  analyse: Analyse,
  outcomes: readonly Outcome[],
  plan: Plan,
  options: AnalyseOptions,
): Analysis & { pooled: Pooled } {
  const again = (own: readonly Outcome[]) => [...own, ...own.map((one) => ({ ...one, audience: together }))];
  const controls = options.controls && { controls: again(options.controls) };
  const both = analyse(again(outcomes), pooledPlan(plan), { ...options, ...controls });
  const result = both.results.find(({ audience }) => audience === together) ?? null;
  return {
    ...both,
    habituation: both.habituation.filter(({ audience }) => audience !== together),
    results: both.results.filter(({ audience }) => audience !== together),
    pooled: allowed(both.interaction, result),
  };
}

function allowed(interaction: Interaction | null, result: AudienceResult | null): Pooled {
  const p = interaction?.p ?? null;
  const reason = p === null ? 'too-few' : p <= poolingLevel ? 'differ' : 'not-shown-to-differ';
  const may = reason === 'not-shown-to-differ';
  return { allowed: may, reason, p, level: poolingLevel, result: may ? result : null };
}
