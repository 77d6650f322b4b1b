import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Analysis, AudienceResult, RatingPair } from './results';

/** Between which two samples whom a rule keeps may come out apart, or alike, for no other reason than the rule. */
export type Leans = (first: PrototypeId, second: PrototypeId) => boolean;

/**
 * Verdicts of a study with post-screening whose rule may lean to one of the primary pair.
 *
 * A rule keeps those who graded the reference above; held against the reference itself they find a difference even
 * where there is none (of many who hear nothing it keeps those whom chance made look so). A rule that looks at grades of
 * all samples leans between two of them, too: of two that lose as much on average, but one of them not to everybody, it
 * keeps those to whom that one loses much. So there a verdict is given only if the answers of everybody who came say the
 * same, a difference in the same direction: p is the larger of the two, and no more often wrong than that of everybody.
 * Likeness to the reference needs nothing: the rule can only move the two further apart. Where a rule doesn't look at
 * the two that are compared, it leans to neither, and the analysis stays as it is.
 */
export function heldByEverybody(analysis: Analysis, plan: Plan, reference: string, leans: Leans): Analysis {
  const { first, second } = plan.primary;
  if (!leans(first as PrototypeId, second as PrototypeId)) return analysis;
  const holdsReference = first === reference || second === reference;
  return { ...analysis, results: analysis.results.map((result) => held(result, holdsReference)) };
}

function held(result: AudienceResult, holdsReference: boolean): AudienceResult {
  const screening = result.ratings?.screening;
  if (!screening || screening.dropped.length === 0 || result.p === null) return result;
  const { all, verdictOfAll } = screening;
  const p = Math.max(result.p, all.p ?? 1);
  const pAdjusted = Math.max(result.pAdjusted ?? 1, all.pAdjusted ?? 1);
  const open = result.verdict === 'undecided' || (result.verdict === 'not-separated' && holdsReference);
  const same = result.verdict === 'not-separated' || sameWay(all, result.estimate);
  if (open || (verdictOfAll === result.verdict && same)) return { ...result, p, pAdjusted };
  const warnings = [...result.warnings, 'screened-by-difference'];
  return { ...result, p, pAdjusted, verdict: 'undecided', preferred: null, warnings };
}

/** p of a pair that decides nothing, by the same rule: that of everybody where it is larger; 1 where theirs is the other way. */
export function pHeld(kept: RatingPair, all: RatingPair): number | null {
  if (kept.p === null) return null;
  return sameWay(all, kept.difference) ? Math.max(kept.p, all.p ?? 1) : 1;
}

type Valued = { value: number } | null;
const sameWay = ({ difference }: { difference: Valued }, of: Valued): boolean =>
  Math.sign(difference?.value ?? 0) === Math.sign(of?.value ?? 0);
