import type { Plan } from '../shared/plan';
import type { Analysis, AudienceResult } from './results';

/**
 * Verdicts of a study with post-screening whose primary pair holds the reference.
 *
 * The rule keeps those who graded the reference above; held against the reference itself they find a difference even
 * where there is none (of many who hear nothing it keeps those whom chance made look so). So there a difference is shown
 * only if the answers of everybody who came show it, too, in the same direction: p is the larger of the two, and no
 * more often wrong than that of everybody. Between two samples that are no reference the rule leans to neither, and
 * the analysis stays as it is. What speaks for likeness needs nothing: the rule can only move the two further apart.
 */
export function heldByEverybody(analysis: Analysis, plan: Plan, reference: string): Analysis {
  const { first, second } = plan.primary;
  if (first !== reference && second !== reference) return analysis;
  return { ...analysis, results: analysis.results.map(held) };
}

function held(result: AudienceResult): AudienceResult {
  const screening = result.ratings?.screening;
  if (!screening || screening.dropped.length === 0 || result.p === null) return result;
  const { all, verdictOfAll } = screening;
  const p = Math.max(result.p, all.p ?? 1);
  const pAdjusted = Math.max(result.pAdjusted ?? 1, all.pAdjusted ?? 1);
  if (result.verdict !== 'difference-shown') return { ...result, p, pAdjusted };
  const same = Math.sign(all.difference?.value ?? 0) === Math.sign(result.estimate?.value ?? 0);
  if (verdictOfAll === 'difference-shown' && same) return { ...result, p, pAdjusted };
  const warnings = [...result.warnings, 'screened-by-difference'];
  return { ...result, p, pAdjusted, verdict: 'undecided', preferred: null, warnings };
}
