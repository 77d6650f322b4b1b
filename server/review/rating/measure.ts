import { z } from 'zod';
import type { Plan } from '../../../shared/plan';
import { decimals, pointsBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { nameIn } from '../plan-names';
import { askedIn, type ShownScale, scaleIn, valueOn } from '../shown-scale';

/** What the differences of a verdict about ratings are counted in, and how they are said: one for each kind of method. */
export interface Measure {
  scale: ShownScale;
  /** Before the names: "on the scale “Liking”, ". */
  lead: string;
  /** After "whether the two differ": " on the scale “Liking”". */
  about: string;
  /** How one lies above the other: "Alder is rated nearer to “like” than Birch". */
  above(ahead: string, behind: string, be: 'is' | 'was'): string;
  /** One of them as it may come out, and the other once that was said: "Alder nearer to “like”", "Birch nearer to it". */
  higher(name: string, again?: boolean): string;
  /** What differences are: "points". */
  unit: string;
  /** A difference as a value alone. */
  value(points: number): string;
  /** A value with its unit: "1 point". */
  amount(points: number): string;
  /** What follows it in a sentence: " on a scale of 7". */
  onWhat: string;
  /** Where both came out alike: "The two have the same mean on a scale of 7 points". */
  same: string;
}

const withReference = z.object({ reference: z.string() });

/** The prototype that others are rated against; null where there is none. */
export const referenceOf = (plan: Plan): string | null =>
  withReference.safeParse(plan.method.spec).data?.reference ?? null;

/** Not of the reference where others are held against it: then it is what they are counted from. */
export const hasOwnFigure = (plan: Plan, prototype: string): boolean =>
  prototype !== referenceOf(plan) || scaleIn(plan, plan.primary.scale ?? '').shape !== 'derived';

export function measureOf(plan: Plan): Measure {
  const scale = scaleIn(plan, plan.primary.scale ?? '');
  const asked = askedIn(plan, plan.primary.scale ?? '');
  const value = (points: number): string => pointsBeside(points, turningShares(plan));
  const counted = (one: string, many: string) => ({
    unit: many,
    amount: (points: number) => `${plainNumber(points)}\u00a0${points === 1 ? one : many}`,
  });
  const on = { lead: `on the scale “${scale.name}”, `, about: ` on the scale “${scale.name}”` };
  switch (plan.method.id) {
    case 'reference-and-anchors':
      return {
        scale,
        value,
        ...counted('point', 'points'),
        lead: '',
        about: ` on the scale “${scale.name}”`,
        ...besideReference(plan, 'rated', 'rated above'),
        onWhat: ` out of ${scale.to}`,
        same: `The two have the same mean, out of ${scale.to} points`,
      };
    case 'small-impairments':
      return {
        scale,
        value,
        ...counted('grade', 'grades'),
        lead: '',
        about: ' in how much is lost',
        ...besideReference(plan, 'graded', 'graded as less impaired than'),
        onWhat: '',
        same: 'As much is lost with the one as with the other',
      };
    case 'comparison-rating':
      return {
        scale,
        value,
        ...counted('step', 'steps'),
        lead: '',
        about: ' when one is compared with the other',
        above: (ahead, behind, be) => `${ahead} ${be} rated better than ${behind}`,
        higher: (name) => `${name} better`,
        onWhat: onWords(asked),
        same: 'Neither comes out better',
      };
    case 'absolute-rating':
      return {
        scale,
        value,
        ...counted('point', 'points'),
        ...on,
        above: (ahead, behind, be) => `${ahead} ${be} rated better than ${behind}`,
        higher: (name) => `${name} better`,
        onWhat: onWords(scale),
        same: `The two have the same mean${onWords(scale)}`,
      };
    case 'just-about-right':
      return {
        scale,
        value,
        ...counted('point', 'points'),
        lead: '',
        about: ' in how well they are liked',
        above: (ahead, behind, be) => `${ahead} ${be} liked more than ${behind}`,
        higher: (name) => `${name} liked more`,
        ...ofPoints(scale),
      };
    case 'check-all':
      return {
        scale,
        unit: 'percentage points',
        value: (share) => percentagePoints(share, plan),
        amount: (share) => `${percentagePoints(share, plan)}\u00a0percentage points`,
        lead: '',
        about: ` in how often “${scale.name}” is ticked`,
        above: (ahead, behind, be) => `“${scale.name}” ${be} ticked more often for ${ahead} than for ${behind}`,
        higher: (name, again = false) => `${again ? 'it' : `“${scale.name}”`} ticked more often for ${name}`,
        onWhat: '',
        same: 'It is ticked as often for either',
      };
    default:
      return {
        scale,
        value,
        ...counted('point', 'points'),
        ...on,
        above: (ahead, behind, be) => `${ahead} ${be} rated nearer to “${scale.high}” than ${behind}`,
        higher: (name, again = false) => `${name} nearer to ${again ? 'it' : `“${scale.high}”`}`,
        ...ofPoints(scale),
      };
  }
}

/** Of which scale a difference of points is one. */
function ofPoints({ from, to }: ShownScale): Pick<Measure, 'onWhat' | 'same'> {
  const points = to - from + 1;
  return { onWhat: ` on a scale of ${points}`, same: `The two have the same mean on a scale of ${points} points` };
}

/** Against the reference, or of two that are both held against it. */
function besideReference(plan: Plan, verb: string, between: string): Pick<Measure, 'above' | 'higher'> {
  const reference = referenceOf(plan);
  const named = reference === null ? null : nameIn(plan)(reference);
  const hidden = `the hidden reference (${named})`;
  return {
    above: (ahead, behind, be) =>
      ahead === named
        ? `${behind} ${be} ${verb} below ${hidden}`
        : behind === named
          ? `${ahead} ${be} ${verb} above ${hidden}`
          : `${ahead} ${be} ${between} ${behind}`,
    higher: (name) => `${name === named ? hidden : name} higher`,
  };
}

const plainNumber = (value: number): string => String(Number(value.toFixed(2)));
/** " on the scale from “bad”, 1, to “excellent”, 5". */
const onWords = ({ low, high, from, to }: ShownScale): string =>
  ` on the scale from “${low}”, ${valueOn(from, from)}, to “${high}”, ${valueOn(to, from)}`;

/** A difference of two shares: whole, or with as many decimals as keep it on its side of where the verdict turns. */
function percentagePoints(share: number, plan: Plan): string {
  const marks = turningShares(plan);
  const side = (value: number, mark: number) => (Math.abs(value - mark) < 1e-9 ? 0 : Math.sign(value - mark));
  for (let digits = 0; digits < 4; digits++) {
    const rounded = Number((share * 100).toFixed(digits)) / 100;
    if (marks.every((mark) => side(rounded, mark) === side(share, mark))) return decimals(share * 100, digits);
  }
  return decimals(share * 100, 4);
}
