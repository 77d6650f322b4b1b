import { analysed } from '../../protocols/analysed';
import { comparedPlan } from '../../protocols/controls';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { seededRandom } from '../../stats/seeded-random';
import { type DrawnPanel, drawnPanel } from './drawn-panel';
import { playsPanel } from './played-panel';
import { count, emptyTallies, type Tallies } from './tally';
import { worldOf } from './truth';

/** What a dry run plays, and how much of it. */
export interface DryRunOrder {
  plan: Plan;
  truth: TruthDocument;
  /** From 0 to 2^32 − 1. */
  seed: number;
  panels: number;
  /** Designs that are drawn. */
  draws: number;
  /** Panels whose intervals are worked out, at least; spread over all draws alike. */
  whole: number;
}

/**
 * Most of a dry run would go to drawing: every place of every trial comes from a generator of its own. So some designs
 * are drawn, and the panels meet them in turn. What a panel meets is settled before anybody answers, so that it can't
 * favour any answer; it only makes panels a little less unlike each other than they would be.
 */
export const usualDraws = 30;
/** Where listeners answer by habit, the draw is what keeps their habits from being right: more of them are needed. */
export const drawsForHabits = 1_000;

/** Panels whose intervals are worked out: enough for a share to within a few percent, where one takes milliseconds. */
export const usualWhole = 200;

/** So many chunks a dry run has: one for each draw. */
export const chunksOf = ({ draws }: Pick<DryRunOrder, 'draws'>): number => draws;

/** Of the first `whole` panels of each chunk the intervals are worked out. */
export const wholeInChunk = ({ whole, draws }: Pick<DryRunOrder, 'whole' | 'draws'>): number =>
  Math.ceil(whole / draws);

/**
 * Plays the panels of one chunk: those that meet the same draw, every `draws`-th of all. Each has a seed of its own from
 * the seed of the dry run and its place, so that it comes out alike whoever plays it and whatever was played before.
 * @param panelOf another way to draw, for measurements
 */
export function playChunk(
  order: DryRunOrder,
  chunk: number,
  panelOf: (plan: Plan, seed: number, ordinal: number) => DrawnPanel = drawnPanel,
): Tallies {
  const { plan, truth, seed, panels, draws } = order;
  const compared = comparedPlan(plan);
  const play = playsPanel(plan, worldOf(truth), panelOf(plan, seed, chunk));
  const tallies = emptyTallies(plan);
  for (let panel = chunk, played = 0; panel < panels; panel += draws, played++) {
    const outcomes = play(seededRandom(`dry run ${seed} ${panel}`));
    const whole = played < wholeInChunk(order);
    // Scores of three prototypes and more are resampled, and nothing here looks at them.
    const { results } = analysed(outcomes, plan, whole ? { resamples: 100 } : { verdictOnly: true });
    count(tallies, results, whole, compared, truth);
  }
  return tallies;
}
