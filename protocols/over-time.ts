import type { AudienceId, ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { alphaEach } from './alpha-each';
import { type DayToDay, dayToDay } from './day-to-day';
import { holm } from './holm';
import { ofAudience } from './of-audience';
import { overListeners, within } from './over-listeners';
import { meanOf } from './own-ratings';
import type { Outcome } from './protocol';
import { type PrototypeOverTime, prototypesOverTime } from './prototypes-over-time';
import type { Estimate } from './results';
import { type FigureMeasure, figureMeasure, repeatsOf, type SittingFigure, sittingFigures } from './sitting-figures';
import { leastSquares } from './sitting-slope';

/** A mean over listeners; without limits where nobody's spread was seen. */
export interface PanelMean {
  value: number;
  lower: number | null;
  upper: number | null;
  level: number;
  listeners: number;
}

/** One listener's way through his or her sittings. */
export interface OwnWay {
  listener: ListenerId;
  sittings: SittingFigure[];
  /** At first contact, after repeats; later less first, and per doubling of hearings. Null with one sitting. */
  first: number | null;
  later: number | null;
  slope: number | null;
  /** Whether the listener's own net answer is for the same side at first contact and after repeats. */
  side: 'stayed' | 'changed' | 'none' | null;
}

/** What time did to the measure of the verdict, in one audience. */
export interface OverTime {
  audience: AudienceId;
  measure: FigureMeasure;
  ways: OwnWay[];
  /** Own sittings, with whoever has a figure there. */
  sittings: (PanelMean & { sitting: number })[];
  /** Of those who sat twice or more; null where nobody did. */
  again: {
    listeners: number;
    first: PanelMean;
    later: PanelMean;
    change: { estimate: Estimate | null; p: number | null; pAdjusted: number | null };
    slope: { estimate: Estimate | null; p: number | null; pAdjusted: number | null; listeners: number };
    /** How often hearings double from the first planned sitting to the last. */
    doublings: number;
    word: 'drifting' | 'stable' | 'unknown';
    sides: { stayed: number; changed: number; none: number; toFirst: number; toSecond: number };
  } | null;
  /** With ratings: each prototype by itself. */
  prototypes: PrototypeOverTime[];
  dayToDay: DayToDay | null;
}

/** Figures that lie no further apart are of neither side. */
const rounding = 1e-9;

/**
 * What time and habit do to the answer that the verdict is about, for each audience: first contact against repeats, the
 * slope on how often the samples had been heard, who changed sides, and how much answers vary from day to day.
 *
 * The listener is the unit: one figure for each of his or her sittings (`sittingFigures`), and of these one change (mean
 * of the later ones less the first) and one slope, by least squares on log2 of the hearings by the end of the sitting;
 * then mean, t interval and t test over listeners, p corrected over audiences by Holm, changes and slopes apart. A
 * listener who heard the samples less than half a doubling more often has no slope. `drifting` when the corrected test finds
 * one; `stable` when it is shown by two one-sided tests (`equivalence`) at α over the number of audiences that from the
 * first planned sitting to the last, in which hearings double log2(sessions) times, the figure moves by less than ± the
 * smallest effect worth finding; else `unknown`. It describes, and decides no verdict.
 *
 * Source: each subject's slope as one figure, then a t test over subjects, is the method of summary measures: Matthews,
 * Altman, Campbell & Royston (1990), BMJ 300:230–235 (from memory). How often these err: `node tests/bench/bench.mjs
 * over-time`.
 * @param outcomes scored answers of all days, without controls and whom screening leaves out
 * @returns one entry for each audience of the plan, in its order
 */
export function overTime(outcomes: readonly Outcome[], plan: Plan): OverTime[] {
  const measure = figureMeasure(plan);
  const level = 1 - plan.risks.alpha;
  const doublings = Math.log2(Math.max(2, plan.sessions.count));
  const found = plan.audiences.map(({ id }) => {
    const own = ofAudience(outcomes, id as AudienceId);
    const ways = waysOf(sittingFigures(own, plan), measure);
    return { own, id: id as AudienceId, ways, slopes: ways.flatMap(({ slope }) => (slope === null ? [] : [slope])) };
  });
  const changes = found.map(({ ways }) => overListeners('change', changesOf(ways), level));
  const slopes = found.map((one) => overListeners('per-doubling', one.slopes, level));
  const [changesAdjusted, slopesAdjusted] = [changes, slopes].map((family) => holm(family.map(({ p }) => p))) as [
    (number | null)[],
    (number | null)[],
  ];
  const prototypes = prototypesOverTime(
    found.map(({ id, own }) => ({ id, own })),
    plan,
  );
  return found.map(({ id, own, ways, slopes: values }, i) => {
    const twice = ways.filter(({ first }) => first !== null);
    const pAdjusted = slopesAdjusted[i] ?? null;
    const drifting = pAdjusted !== null && pAdjusted <= plan.risks.alpha;
    const stable = !drifting && within(measure.margin / doublings, values, alphaEach(plan));
    const [change, slope] = [changes[i], slopes[i]] as [(typeof changes)[number], (typeof slopes)[number]];
    return {
      audience: id,
      measure,
      ways,
      sittings: sittingMeans(ways, measure.of, level),
      again:
        twice.length === 0
          ? null
          : {
              listeners: twice.length,
              first: panelMean(
                twice.map(({ first }) => first as number),
                measure.of,
                level,
              ),
              later: panelMean(
                twice.map(({ later }) => later as number),
                measure.of,
                level,
              ),
              change: {
                estimate: bounded(change.estimate, measure.of),
                p: change.p,
                pAdjusted: changesAdjusted[i] ?? null,
              },
              slope: { estimate: slope.estimate, p: slope.p, pAdjusted, listeners: slope.listeners },
              doublings,
              word: drifting ? 'drifting' : stable ? 'stable' : 'unknown',
              sides: sidesOf(twice, measure),
            },
      prototypes: prototypes.get(id) ?? [],
      dayToDay: dayToDay(repeatsOf(own, plan)),
    };
  });
}

const changesOf = (ways: readonly OwnWay[]): number[] =>
  ways.flatMap(({ first, later }) => (first === null || later === null ? [] : [later - first]));

function waysOf(figures: readonly SittingFigure[], { neutral }: FigureMeasure): OwnWay[] {
  const byListener = new Map<ListenerId, SittingFigure[]>();
  for (const figure of figures) byListener.set(figure.listener, [...(byListener.get(figure.listener) ?? []), figure]);
  return [...byListener].map(([listener, sittings]) => {
    const [begin, ...rest] = sittings;
    if (!begin || rest.length === 0) return { listener, sittings, first: null, later: null, slope: null, side: null };
    const later = meanOf(rest.map(({ value }) => value));
    const [before, after] = [sideOf(begin.value, neutral), sideOf(later, neutral)];
    return {
      listener,
      sittings,
      first: begin.value,
      later,
      slope: leastSquares(sittings.map(({ heard, value }) => ({ heard, value }))),
      side: before === 0 || after === 0 ? 'none' : before === after ? 'stayed' : 'changed',
    };
  });
}

const sideOf = (value: number, neutral: number): -1 | 0 | 1 =>
  Math.abs(value - neutral) < rounding ? 0 : value > neutral ? 1 : -1;

function sidesOf(ways: readonly OwnWay[], { neutral }: FigureMeasure) {
  const count = (side: OwnWay['side']) => ways.filter((way) => way.side === side).length;
  const changed = ways.filter(({ side }) => side === 'changed');
  const toFirst = changed.filter(({ later }) => sideOf(later as number, neutral) > 0).length;
  return {
    stayed: count('stayed'),
    changed: changed.length,
    none: count('none'),
    toFirst,
    toSecond: changed.length - toFirst,
  };
}

/** The mean of listeners' figures, its t limits no further out than the figures can be. @throws Error without values */
export function panelMean(values: readonly number[], of: FigureMeasure['of'], level: number): PanelMean {
  // Sorted, so that names and order of arrival move no digit.
  const sorted = [...values].sort((a, b) => a - b);
  const { estimate } = overListeners('mean', sorted, level);
  const [least, most] = bounds(of);
  const { lower, upper } = estimate ?? { lower: null, upper: null };
  return {
    value: estimate?.value ?? meanOf(sorted),
    lower: lower === null ? null : Math.max(least, lower),
    upper: upper === null ? null : Math.min(most, upper),
    level,
    listeners: sorted.length,
  };
}

function bounds(of: FigureMeasure['of']): [number, number] {
  if (of === 'points') return [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  return of === 'apart' || of === 'ticked' ? [-1, 1] : [0, 1];
}

/** A difference of two figures: no share changes by more than all. */
export function bounded(estimate: Estimate | null, of: FigureMeasure['of']): Estimate | null {
  if (estimate === null || of === 'points') return estimate;
  const [least, most] = bounds(of);
  const range = most - least;
  return { ...estimate, lower: Math.max(-range, estimate.lower), upper: Math.min(range, estimate.upper) };
}

function sittingMeans(ways: readonly OwnWay[], of: FigureMeasure['of'], level: number): OverTime['sittings'] {
  const values = new Map<number, number[]>();
  for (const { sittings } of ways) {
    for (const { sitting, value } of sittings) values.set(sitting, [...(values.get(sitting) ?? []), value]);
  }
  return [...values].sort(([a], [b]) => a - b).map(([sitting, own]) => ({ sitting, ...panelMean(own, of, level) }));
}
