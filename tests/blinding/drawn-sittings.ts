import { type Draw, type DrawnTrial, drawSitting } from '../../server/blinding/draw';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import { chiSquareUpper } from '../../stats/distributions';
import { aPlan, type PlanWish } from './a-plan';

/** A draw as it is looked at over many sittings: what was allocated, how often what came, and what it tells of what. */

export interface Sat {
  ordinal: number;
  sitting: number;
  /** The scored ones. */
  trials: DrawnTrial[];
}

/** Each seed is a draw of its own. The days of the second are counted from 101, and so on. */
export function sittings(wish: PlanWish, listeners: number, days: number, seeds: readonly number[]): Sat[] {
  const plan = aPlan({ ...wish, audiences: [['home', listeners]] });
  return seeds.flatMap((seed, number) => {
    const draw: Draw = { seed: Buffer.alloc(32, seed), planVersion: 1, plan };
    return Array.from({ length: listeners * days }, (_, i) => {
      const [ordinal, sitting] = [(i % listeners) + 1, Math.floor(i / listeners) + 1];
      const { trials } = drawSitting(draw, { audience: 'home' as AudienceId, ordinal, session: sitting, sitting }, 0);
      return { ordinal, sitting: 100 * number + sitting, trials: trials.filter(({ design }) => !design.practice) };
    });
  });
}

/** How often each of these keys comes; `of` names all that could come, so that one that never does counts as well. */
export function counts(keys: Iterable<string>, of: readonly string[]): number[] {
  const found = new Map<string, number>(of.map((key) => [key, 0]));
  for (const key of keys) found.set(key, (found.get(key) ?? Number.NaN) + 1);
  return [...found.values()];
}
export const allEqual = (all: readonly number[]) => all.every((one) => one === all[0]);
export const withinOne = (all: readonly number[]) => Math.max(...all) - Math.min(...all) <= 1;
export const letters = (n: number) =>
  ['a', 'b', 'c', 'd', 'e'].slice(0, n).map((letter) => `proto-${letter}` as PrototypeId);
export const each = <A, B>(one: readonly A[], other: readonly B[]): [A, B][] =>
  one.flatMap((a) => other.map((b): [A, B] => [a, b]));
export const grouped = <T>(all: readonly T[], by: (one: T) => number): T[][] => {
  const groups = new Map<number, T[]>();
  for (const one of all) groups.set(by(one), [...(groups.get(by(one)) ?? []), one]);
  return [...groups.values()];
};
export const onDays = (sat: readonly Sat[]): Sat[][] => grouped(sat, ({ sitting }) => sitting);
export const inBlocks = (day: readonly Sat[], size: number): Sat[][] =>
  grouped(day, ({ ordinal }) => Math.floor((ordinal - 1) / size));
/** Whether a rule holds in every block of listeners of every day. */
export const inEveryBlock = (sat: readonly Sat[], size: number, rule: (block: Sat[]) => boolean) =>
  onDays(sat).every((day) => inBlocks(day, size).every(rule));

export const six = [0, 1, 2, 3].flatMap((i) =>
  [0, 1, 2, 3].slice(i + 1).map((j) => `${letters(4)[i]} ${letters(4)[j]}`),
);
export const pairOf = ({ design }: DrawnTrial) => design.presentations.toSorted().join(' ');
export const heard = ({ trials }: Sat) => trials.map(({ design }) => design.presentations[0] as PrototypeId);
export const pairwise = <T>(all: readonly T[]): [T, T][] =>
  all.slice(1).map((after, i): [T, T] => [all[i] as T, after]);

/** The same sittings with something done to each; what is handed over is a copy. */
export const changed = (sat: readonly Sat[], change: (one: Sat, all: readonly Sat[]) => void): Sat[] => {
  const copy = structuredClone(sat) as Sat[];
  for (const one of copy) change(one, sat);
  return copy;
};

/** Bits of `what` that stay unknown to whoever knows `given`: its entropy within each context, weighed by how often it comes. */
export function bitsLeft(all: readonly { given: string; what: boolean }[]): number {
  const contexts = new Map<string, [number, number]>();
  for (const { given, what } of all) {
    const context = contexts.get(given) ?? [0, 0];
    context[what ? 1 : 0]++;
    contexts.set(given, context);
  }
  let bits = 0;
  for (const [no, yes] of contexts.values()) {
    for (const some of [no, yes]) if (some > 0) bits -= (some / all.length) * Math.log2(some / (no + yes));
  }
  return bits;
}

/** The p of Pearson's χ² test that two things have nothing to do with one another. */
export function independence(seen: readonly (readonly [string, string])[]): number {
  const [rows, columns] = [0, 1].map((side) => [...new Set(seen.map((one) => one[side] as string))]) as [
    string[],
    string[],
  ];
  const of = (key: string, side: 0 | 1) => seen.filter((one) => one[side] === key).length;
  const [perRow, perColumn] = [rows.map((row) => of(row, 0)), columns.map((column) => of(column, 1))];
  const cells = counts(
    seen.map((one) => one.join('|')),
    each(rows, columns).map((one) => one.join('|')),
  );
  const square = cells.reduce((sum, cell, i) => {
    const [row, column] = [Math.floor(i / columns.length), i % columns.length];
    const expected = ((perRow[row] as number) * (perColumn[column] as number)) / seen.length;
    return sum + (cell - expected) ** 2 / expected;
  }, 0);
  return chiSquareUpper(square, (rows.length - 1) * (columns.length - 1));
}
/** A true draw gives a p outside of this once in 500 seeds; these seeds don't. Too even is as suspect as too uneven. */
export const unsuspicious = (p: number) => p > 0.001 && p < 0.999;
