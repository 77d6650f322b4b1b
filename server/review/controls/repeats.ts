import { protocolOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlOf } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { kendallScore } from '../../../stats/kendall-score';
import { byListener, count } from './by-listener';

type Repeats = ControlOf<'again'> | ControlOf<'order'> | ControlOf<'points'>;

/** A trial as it was answered: one value, or one for each place of its samples. */
interface Answered {
  listener: string;
  position: number;
  /** Its samples, whichever way round they were heard. */
  about: string;
  sitting: string;
  prototypes: readonly string[];
  values: number[];
}

/**
 * A trial that was put once more in the same sitting, held against the one that it repeats: the last one about the same
 * samples before it, or after it where that was put again. A repeat of what was never answered is in no count.
 */
export function repeatsOf(kept: readonly Outcome[], plan: Plan, label: (listener: string) => string): Repeats {
  // Of ratings those on the scale of the verdict.
  const { family } = protocolOf(plan.method.id);
  const told = family === 'rating' ? kept.filter(({ scale }) => scale === plan.primary.scale) : kept;
  const repeats = answered(told.filter(({ control }) => control === 'hiddenRepeats'));
  const own = answered(told.filter(({ control }) => control === undefined));
  const paired = repeats.flatMap((repeat) => {
    const about = own.filter((one) => one.sitting === repeat.sitting && one.about === repeat.about);
    const original = about.findLast(({ position }) => position < repeat.position) ?? about[0];
    return original ? [{ listener: repeat.listener, original, repeat }] : [];
  });
  const listeners = byListener(paired, label);
  if (family === 'ranking') {
    const tau = (pairs: typeof paired) => pairs.reduce((sum, pair) => sum + tauOf(pair), 0) / pairs.length;
    return {
      kind: 'hiddenRepeats',
      measure: 'order',
      trials: paired.length,
      tau: paired.length === 0 ? null : tau(paired),
      listeners: listeners.map(({ listener, own: theirs }) => ({ listener, tau: tau(theirs), trials: theirs.length })),
    };
  }
  if (family === 'rating') {
    const apart = (pairs: typeof paired) => {
      const each = pairs.flatMap(apartIn);
      return each.length === 0 ? null : each.reduce((sum, one) => sum + one, 0) / each.length;
    };
    return {
      kind: 'hiddenRepeats',
      measure: 'points',
      trials: paired.length,
      apart: apart(paired),
      listeners: listeners.map(({ listener, own: theirs }) => ({
        listener,
        apart: apart(theirs) ?? 0,
        trials: theirs.length,
      })),
    };
  }
  const isSame = ({ original, repeat }: (typeof paired)[number]) => forLower(original) === forLower(repeat);
  return {
    kind: 'hiddenRepeats',
    measure: 'again',
    trials: paired.length,
    same: count(paired, isSame),
    listeners: listeners.map(({ listener, own: theirs }) => ({
      listener,
      same: count(theirs, isSame),
      trials: theirs.length,
    })),
  };
}

/** Outcomes by trial, in the order of places. */
function answered(outcomes: readonly Outcome[]): Answered[] {
  const trials = new Map<string, Outcome[]>();
  for (const one of outcomes) trials.set(one.trial, [...(trials.get(one.trial) ?? []), one]);
  return [...trials.values()].flatMap((own) => {
    const [first] = own;
    if (!first) return [];
    const { listener, position, sitting, prototypes } = first;
    const values = own.toSorted((a, b) => (a.place ?? 0) - (b.place ?? 0)).map(({ value }) => value);
    return [{ listener, position, sitting, prototypes, about: [...prototypes].sort().join(' '), values }];
  });
}

/** The answer whichever way round the two were heard: 1 for the one whose id comes first, −1 for the other, 0 for none. */
function forLower({ prototypes: [first = '', second = ''], values: [value = 0] }: Answered): number {
  return Math.sign(value) * (first < second ? 1 : -1) + 0;
}

/** Kendall's tau between two orders of the same samples; neither has ties. */
function tauOf({ original, repeat }: { original: Answered; repeat: Answered }): number {
  const again = original.prototypes.map((id) => repeat.values[repeat.prototypes.indexOf(id)] ?? 0);
  const { score, pairs } = kendallScore(original.values, again);
  return pairs === 0 ? 1 : score / pairs;
}

/** How far apart the two ratings of each sample are. */
const apartIn = ({ original, repeat }: { original: Answered; repeat: Answered }): number[] =>
  original.prototypes.flatMap((id, place) => {
    const [first, again] = [original.values[place], repeat.values[repeat.prototypes.indexOf(id)]];
    return first === undefined || again === undefined ? [] : [Math.abs(again - first)];
  });
