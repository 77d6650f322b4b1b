import type { AudienceId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Verdict } from '../shared/verdicts';
import { analysed } from './analysed';
import { ofAudience } from './of-audience';
import { overListeners } from './over-listeners';
import { bounded } from './over-time';
import { meanOf } from './own-ratings';
import type { Outcome } from './protocol';
import type { AudienceResult, Estimate } from './results';
import { bySitting, figureMeasure, sittingFigures } from './sitting-figures';

/** What sittings on which something is noted did, in one audience. */
export interface FlaggedSittings {
  audience: AudienceId;
  sittings: number;
  /** Of all that have answers. */
  of: number;
  listeners: number;
  /** Flagged less unflagged, within whoever has both, in the measure of the verdict. */
  difference: { estimate: Estimate | null; listeners: number };
  /** The verdict with those answers, as it stands, and without them. */
  with: Told;
  without: Told;
  /** Both give the same verdict, and name the same prototype where they name one. */
  same: boolean;
}

interface Told {
  verdict: Verdict;
  preferred: PrototypeId | null;
  p: number | null;
  pAdjusted: number | null;
}

/**
 * Whether the verdict hangs on sittings on which something is noted: how listeners answered in them against their own
 * other sittings, with the listener as the unit (t interval), and the same analysis without them.
 * @param outcomes scored answers of all days, without controls
 * @param results verdicts with everything in
 * @param flagged what is noted
 * @param controls answers to control trials, where the method says something of them
 * @returns one entry for each audience with such a sitting; none where there is no such
 */
export function flaggedSittings(
  outcomes: readonly Outcome[],
  plan: Plan,
  results: readonly AudienceResult[],
  flagged: (outcome: Outcome) => boolean,
  controls: readonly Outcome[],
): FlaggedSittings[] {
  if (!outcomes.some(flagged)) return [];
  const rest = outcomes.filter((outcome) => !flagged(outcome));
  const others = analysed(rest, plan, { verdictOnly: true, controls: controls.filter((one) => !flagged(one)) }).results;
  return results.flatMap((result) => {
    const own = ofAudience(outcomes, result.audience);
    const sittings = bySitting(own);
    const noted = sittings.filter((one) => one.own.some(flagged));
    const other = others.find(({ audience }) => audience === result.audience);
    if (noted.length === 0 || !other) return [];
    const [with_, without] = [told(result), told(other)];
    return [
      {
        audience: result.audience,
        sittings: noted.length,
        of: sittings.length,
        listeners: new Set(noted.map(({ listener }) => listener)).size,
        difference: withinListeners(own, plan, flagged),
        with: with_,
        without,
        same: with_.verdict === without.verdict && with_.preferred === without.preferred,
      },
    ];
  });
}

const told = ({ verdict, preferred, p, pAdjusted }: AudienceResult): Told => ({ verdict, preferred, p, pAdjusted });

function withinListeners(
  own: readonly Outcome[],
  plan: Plan,
  flagged: (outcome: Outcome) => boolean,
): FlaggedSittings['difference'] {
  const by = (outcomes: readonly Outcome[]) => {
    const listeners = new Map<string, number[]>();
    for (const { listener, value } of sittingFigures(outcomes, plan)) {
      listeners.set(listener, [...(listeners.get(listener) ?? []), value]);
    }
    return listeners;
  };
  const [those, others] = [by(own.filter(flagged)), by(own.filter((outcome) => !flagged(outcome)))];
  const differences = [...those].flatMap(([listener, values]) => {
    const rest = others.get(listener);
    return rest ? [meanOf(values) - meanOf(rest)] : [];
  });
  const { estimate } = overListeners('flagged-less-others', differences, 1 - plan.risks.alpha);
  return { estimate: bounded(estimate, figureMeasure(plan).of), listeners: differences.length };
}
