import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { CommonPrototype } from './common-ground';
import { comparedIn, comparedPlan } from './controls';
import { estimateDifference } from './estimate-difference';
import { type GainMeasure, gainMeasure, gainOver } from './pair-gains';
import type { Outcome } from './protocol';
import type { Estimate } from './results';

/** One audience of a study that is put beside another. */
export interface LinkedSide {
  plan: Plan;
  /** What the verdict counts, without controls and without whom the analysis leaves out. */
  outcomes: readonly Outcome[];
  /** Share truly heard, or how much oftener yes was right: of methods that ask whether something is heard. */
  heard: Estimate | null;
}

/** A prototype that one study alone had, against the common ones. */
interface Held {
  study: 'earlier' | 'later';
  name: string;
  against: Estimate | null;
  listeners: number;
}

export interface LinkedStudies {
  measure: GainMeasure;
  level: number;
  /** What two common prototypes were to each other both times, and by how much that changed. */
  pairs: {
    first: string;
    second: string;
    earlier: Estimate | null;
    later: Estimate | null;
    change: Estimate | null;
  }[];
  /** On one axis. Empty where only hearing was asked. */
  held: Held[];
  /** How much further ahead of the common ones each of the later study's own is than each of the earlier's. */
  linked: { later: string; earlier: string; difference: Estimate | null }[];
}

/**
 * Two studies of one audience on one axis, through the prototypes that both compared. It explores, and gives no verdict.
 *
 * What one study alone had is held against the common ones of its own study, listener by listener (`gainOver`); figures of two
 * studies are then subtracted (`estimateDifference`), as of panels apart. What the common ones are to each other is told of
 * both studies with its change: where that changed, what they are held against isn't the same, and the axis is none.
 * @param common two at least, as `commonPrototypes` found them
 */
export function linkedStudies(
  earlier: LinkedSide,
  later: LinkedSide,
  common: readonly CommonPrototype[],
  level: number,
): LinkedStudies {
  const measure = gainMeasure(earlier.plan);
  const gain = (side: LinkedSide, ahead: PrototypeId, behind: readonly PrototypeId[]) =>
    gainOver(
      side.outcomes,
      behind.map((id) => [ahead, id] as const),
      comparedPlan(side.plan),
      level,
    );
  const pairs = common.flatMap((one, i) =>
    common.slice(i + 1).map((other) => {
      const of = (side: LinkedSide, ahead: PrototypeId, behind: PrototypeId) =>
        measure === 'none' ? side.heard : gain(side, ahead, [behind]).estimate;
      const before = of(earlier, one.first, other.first);
      const after = of(later, one.second, other.second);
      const change = estimateDifference(after, before);
      return { first: one.name, second: other.name, earlier: before, later: after, change };
    }),
  );
  if (measure === 'none') return { measure, level, pairs, held: [], linked: [] };
  const only = (study: Held['study']) => {
    const own = study === 'earlier' ? earlier : later;
    const behind = common.map(({ first, second }) => (study === 'earlier' ? first : second));
    return comparedIn(own.plan).flatMap(({ id, name, anchor }): Held[] => {
      if (anchor || behind.includes(id as PrototypeId)) return [];
      const { estimate: against, listeners } = gain(own, id as PrototypeId, behind);
      return [{ study, name, against, listeners }];
    });
  };
  const [first, second] = [only('earlier'), only('later')];
  const linked = second.flatMap((one) =>
    first.map((other) => ({
      later: one.name,
      earlier: other.name,
      difference: estimateDifference(one.against, other.against),
    })),
  );
  return { measure, level, pairs, held: [...first, ...second], linked };
}
