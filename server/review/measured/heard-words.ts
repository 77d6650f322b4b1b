import type { HeardBeside } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';
import { decimals, percent } from '../../number-words';
import { ranged } from '../rating/section';
import { scaleIn } from '../shown-scale';

/** What was heard, in a table and in a sentence. */
export interface HeardWords {
  /** What the figure is of. */
  of: string;
  value: string;
  interval: string;
  /** After the name of the prototype: "was rated 1.20 points (0.41 to 1.99) nearer to “much” on “Bass”". */
  sentence: string;
}

const points = (share: number): string => `${decimals(share * 100, 0)}`;

export function heardWords({ scale, measure, difference }: HeardBeside, baseline: string, plan: Plan): HeardWords {
  const { value, lower, upper } = difference;
  const shown = scale === null ? null : scaleIn(plan, scale);
  const sizes = value < 0 ? { lower: -upper, upper: -lower } : { lower, upper };
  switch (measure) {
    case 'points':
      return {
        of: `“${shown?.name}”, points`,
        value: decimals(value),
        interval: ranged(difference),
        sentence: `was rated ${decimals(Math.abs(value))} points (${ranged(sizes)}) nearer to “${value < 0 ? shown?.low : shown?.high}” on “${shown?.name}”`,
      };
    case 'ticked':
      return {
        of: `“${shown?.name}” ticked, percentage points`,
        value: points(value),
        interval: ranged(difference, points),
        sentence: `was ticked “${shown?.name}” by ${points(Math.abs(value))} percentage points (${ranged(sizes, points)}) ${value < 0 ? 'less' : 'more'}`,
      };
    case 'preferred':
      return {
        of: `Preferred to ${baseline}`,
        value: percent(value),
        interval: ranged(difference, percent),
        sentence: `was preferred to it in ${percent(value)} of choices (${ranged(difference, percent)})`,
      };
    case 'before':
      return {
        of: `Ranked before ${baseline}`,
        value: percent(value),
        interval: ranged(difference, percent),
        sentence: `was ranked before it in ${percent(value)} of rankings (${ranged(difference, percent)})`,
      };
    case 'heard':
      return {
        of: `Heard as different from ${baseline}, share of trials`,
        value: percent(value),
        interval: ranged(difference, percent),
        sentence: `was heard as different from it in ${percent(value)} of trials (${ranged(difference, percent)})`,
      };
  }
}
