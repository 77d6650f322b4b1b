import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, minus, percent } from '../../number-words';
import { nameIn } from '../plan-names';
import { measureOf } from '../rating/measure';
import { scaleIn } from '../shown-scale';
import { kindsOf } from '../yes-no/kinds';

/** How the figure of one listener and sitting is said: one for each measure. */
export interface FigureWords {
  /** In a sentence: "the share of right answers". */
  figure: string;
  /** The same with what it is counted in, for captions. */
  counted: string;
  /** A value, and a difference of two, which has a sign and no unit. */
  value(value: number): string;
  change(value: number): string;
  /** What differences are counted in. */
  unit: string;
  /** The line of neither side. */
  neutral: string;
  /** A listener's own side. */
  sides: [first: string, second: string];
}

export function figureWords({ of }: Pick<OverTimeFindings, 'of'>, plan: Plan): FigureWords {
  const words = wordsOf(of, plan);
  // Shares have their sign beside them, but for differences of shares.
  const plain = of === 'share' || of === 'correct';
  return { ...words, counted: plain ? words.figure : `${words.figure}, in ${words.unit}` };
}

function wordsOf(of: OverTimeFindings['of'], plan: Plan): Omit<FigureWords, 'counted'> {
  const [first, second] = [nameIn(plan)(plan.primary.first), nameIn(plan)(plan.primary.second)];
  const shares = { value: percent, change: pointsOfShares, unit: 'percentage points' };
  switch (of) {
    case 'share':
      return {
        ...shares,
        figure:
          plan.method.id === 'ranking'
            ? `the share of rankings with ${first} before ${second}`
            : `the share of choices for ${first} against ${second}`,
        neutral: 'each as often',
        sides: [`for ${first}`, `for ${second}`],
      };
    case 'correct':
      return {
        ...shares,
        figure: 'the share of right answers',
        neutral: 'guessing',
        sides: ['more right than by guessing', 'fewer right than by guessing'],
      };
    case 'apart': {
      const { yes, signalShort, noiseShort } = kindsOf(plan);
      return {
        ...shares,
        value: (value) => pointsOfShares(value),
        figure: `how much oftener ${yes} was said of “${signalShort}” than of “${noiseShort}”`,
        neutral: 'each as often',
        sides: ['oftener where it is true', 'oftener where it isn’t'],
      };
    }
    case 'ticked': {
      const { name } = scaleIn(plan, plan.primary.scale ?? '');
      return {
        ...shares,
        value: (value) => pointsOfShares(value),
        figure: `how much oftener “${name}” was ticked for ${first} than for ${second}`,
        neutral: 'each as often',
        sides: [`oftener for ${first}`, `oftener for ${second}`],
      };
    }
    case 'points': {
      const { unit } = measureOf(plan);
      const compared = plan.method.id === 'comparison-rating';
      return {
        figure: compared
          ? `how much better ${first} is than ${second}`
          : `${first} less ${second} on the scale “${scaleIn(plan, plan.primary.scale ?? '').name}”`,
        value: (value) => decimals(value),
        change: (value) => signed(value, decimals(value)),
        unit,
        neutral: 'neither higher',
        sides: [`${first} higher`, `${second} higher`],
      };
    }
  }
}

const signed = (value: number, text: string): string => (value > 0 && !/^0(\.0+)?$/.test(text) ? `+${text}` : text);

const pointsOfShares = (share: number): string => {
  const text = minus((share * 100).toFixed(0));
  return signed(share, text);
};

/** "95 % interval +3 to +12"; nothing where nobody's spread was seen. */
export const intervalWords = (
  { lower, upper, level }: { lower: number | null; upper: number | null; level: number },
  words: (value: number) => string,
): string =>
  lower === null || upper === null ? '' : ` (${chosenPercent(level)} interval ${words(lower)} to ${words(upper)})`;

/** For a cell of a table. */
export const rangeWords = (
  one: { lower: number | null; upper: number | null } | null,
  words: (value: number) => string,
): string =>
  one === null || one.lower === null || one.upper === null ? '–' : `${words(one.lower)} to ${words(one.upper)}`;
