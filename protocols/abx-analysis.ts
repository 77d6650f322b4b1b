import type { Plan } from '../shared/plan';
import type { Analysis, Outcome } from './protocol';

export function analyseAbx(outcomes: readonly Outcome[], plan: Plan): Analysis {
  void outcomes;
  void plan;
  throw new Error('not yet');
}
