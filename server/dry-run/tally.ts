import type { AudienceResult } from '../../protocols/results';
import type { DryRunFigures } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { type Verdict, verdicts } from '../../shared/verdicts';
import { isThere, trueValueOf, trulyFirst } from './true-value';

/** What some panels came to in one audience: counts and sums, so that tallies of more panels can be put together. */
export interface Tally {
  panels: number;
  verdicts: Record<Verdict, number>;
  wrongWay: number;
  /** Of the panels whose intervals were worked out. */
  intervals: number;
  widths: number;
  /** Intervals beside which the true value is known, and of them those that hold it. */
  known: number;
  holding: number;
  trueValue: number | null;
  /** Panels of a plan with looks, and the answers that counted in them. */
  looked: number;
  answersUsed: number;
}

/** By audience, in the order of the plan; and panels in which any of them found something. */
export interface Tallies {
  audiences: Tally[];
  anyFound: number;
}

const found: readonly Verdict[] = ['difference-shown', 'similarity-shown', 'preferred'];
export const isFound = (verdict: Verdict): boolean => found.includes(verdict);

export const emptyTallies = (plan: Plan): Tallies => ({
  anyFound: 0,
  audiences: plan.audiences.map(() => ({
    panels: 0,
    verdicts: Object.fromEntries(verdicts.map((verdict) => [verdict, 0])) as Record<Verdict, number>,
    wrongWay: 0,
    intervals: 0,
    widths: 0,
    known: 0,
    holding: 0,
    trueValue: null,
    looked: 0,
    answersUsed: 0,
  })),
});

/** Counts one panel. `whole`: its intervals were worked out. */
export function count(
  tallies: Tallies,
  results: readonly AudienceResult[],
  whole: boolean,
  plan: Plan,
  truth: TruthDocument,
): void {
  const better = trulyFirst(plan, truth);
  if (results.some(({ verdict }) => isFound(verdict))) tallies.anyFound++;
  results.forEach(({ verdict, preferred, estimate, looks }, i) => {
    const tally = tallies.audiences[i];
    if (!tally) throw new Error('There are results of more audiences than the plan has.');
    tally.panels++;
    tally.verdicts[verdict]++;
    const pair: string[] = [plan.primary.first, plan.primary.second];
    if (isFound(verdict) && preferred !== null && pair.includes(preferred) && better !== null && preferred !== better) {
      tally.wrongWay++;
    }
    if (looks) {
      tally.looked++;
      tally.answersUsed += looks.decidedAt ?? looks.counted;
    }
    if (!whole || estimate === null) return;
    const { lower, upper, name } = estimate;
    tally.intervals++;
    tally.widths += upper - lower;
    const value = trueValueOf(plan, truth, name);
    tally.trueValue = value;
    if (value === null) return;
    tally.known++;
    if (lower - rounding <= value && value <= upper + rounding) tally.holding++;
  });
}

/** A limit that is the true value but for rounding holds it. */
const rounding = 1e-9;

/** Adds what other panels came to. */
export function add(sum: Tallies, more: Tallies): void {
  sum.anyFound += more.anyFound;
  sum.audiences.forEach((tally, i) => {
    const { verdicts: counts, trueValue, ...numbers } = more.audiences[i] as Tally;
    for (const verdict of verdicts) tally.verdicts[verdict] += counts[verdict];
    for (const key of Object.keys(numbers) as (keyof typeof numbers)[]) tally[key] += numbers[key];
    tally.trueValue ??= trueValue;
  });
}

type Figures = Omit<DryRunFigures, 'audience'>;

/** Shares and means of one audience. */
export function figuresOf(tally: Tally, plan: Plan, truth: TruthDocument): Figures {
  const { panels, intervals, known, looked } = tally;
  const share = (of: number) => of / panels;
  const shares = Object.fromEntries(verdicts.map((verdict) => [verdict, share(tally.verdicts[verdict])]));
  const all = verdicts.filter(isFound).reduce((sum, verdict) => sum + tally.verdicts[verdict], 0);
  const there = isThere(plan, truth);
  return {
    verdicts: shares as Figures['verdicts'],
    falseAlarms: there ? null : share(all),
    power: there ? share(all) : null,
    wrongWay: there && trulyFirst(plan, truth) !== null ? share(tally.wrongWay) : null,
    intervalWidth: intervals === 0 ? null : tally.widths / intervals,
    coverage: known === 0 ? null : tally.holding / known,
    trueValue: tally.trueValue,
    answersUsed: looked === 0 ? null : tally.answersUsed / looked,
  };
}
