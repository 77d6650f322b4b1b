import type { Looks, Plan } from '../shared/plan';
import { cutMixture } from '../stats/cut-mixture';
import { logGamma } from '../stats/distributions';
import { sprt } from '../stats/sprt';
import { alphaEach } from './alpha-each';
import type { Evidence } from './protocol';

export type LookedPlan = Pick<Plan, 'looks' | 'risks' | 'audiences'>;
/** What is asked of answers, before any came. */
export type Asked = Omit<Evidence, 'answers'>;

/** How far answers speak, and where it stops. */
export interface Ratio {
  /** Natural logarithm of the ratio, or of the evidence, by how many answers are for the effect and against it. */
  log(ones: number, zeros: number): number;
  upper: number;
  /** Null where it never ends without a finding. */
  lower: number | null;
  /** What false alarms can't exceed by these bounds. */
  attainedAlpha: number;
  /** Tests of which the larger ratio is taken. */
  sides: 1 | 2;
  /** The same with answers for the effect and against it changed round. */
  symmetric: boolean;
}

/**
 * The ratio by which a plan with looks is decided, one audience of it: it hangs on counts alone, so that order counts only
 * for when a bound is met first.
 *
 * `sequential`: Wald's ratio between guessing and the smallest effect worth finding; with two sides the larger of two, each
 * at half of α, p1 being measured from either side. `always-valid`: the evidence of a uniform mixture over all shares, or
 * over those above p0.
 * @throws Error for a plan of fixed size
 */
export function ratioOf({ p0, p1, alternative }: Asked, plan: LookedPlan): Ratio {
  const { looks, risks } = plan;
  const alpha = alphaEach(plan);
  if (looks.kind === 'fixed') throw new Error('A plan of fixed size is looked at once, at its end.');
  if (looks.kind === 'always-valid') {
    return {
      log: mixtureOf(p0, alternative),
      upper: -Math.log(alpha),
      lower: null,
      attainedAlpha: alpha,
      sides: 1,
      symmetric: alternative === 'two-sided',
    };
  }
  const sides = alternative === 'two-sided' ? 2 : 1;
  const { upper, lower, attainedAlphaBound } = sprt({
    p0,
    p1,
    alpha: alpha / sides,
    beta: risks.beta,
    outcomes: [],
    strict: isStrict(looks),
  });
  const [whenRight, whenWrong] = [Math.log(p1 / p0), Math.log((1 - p1) / (1 - p0))];
  const one = (right: number, wrong: number): number => right * whenRight + wrong * whenWrong;
  return {
    // With two sides p0 is one half, so that the other side is the same with right and wrong changed.
    log: sides === 1 ? one : (ones, zeros) => Math.max(one(ones, zeros), one(zeros, ones)),
    upper,
    lower,
    attainedAlpha: sides * attainedAlphaBound,
    sides,
    symmetric: sides === 2,
  };
}

const isStrict = (looks: Looks): boolean => looks.kind === 'sequential' && looks.bounds === 'strict';

/** Studies are simulated by the thousand, and meet the same counts again and again. */
const memory = new Map<string, Ratio['log']>();

function mixtureOf(p0: number, alternative: Evidence['alternative']): Ratio['log'] {
  const address = `${alternative} ${p0}`;
  const known = memory.get(address) ?? remembered(mixture(p0, alternative));
  memory.set(address, known);
  return known;
}

const mostRemembered = 100_000;

function remembered(log: Ratio['log']): Ratio['log'] {
  const known = new Map<number, number>();
  return (ones, zeros) => {
    const address = ones * 65_536 + zeros;
    const found = known.get(address);
    if (found !== undefined) return found;
    const made = log(ones, zeros);
    if (known.size < mostRemembered) known.set(address, made);
    return made;
  };
}

/** The evidence of `alwaysValid`, without the limits that it brings along. */
function mixture(p0: number, alternative: Evidence['alternative']): Ratio['log'] {
  const against = (ones: number, zeros: number): number =>
    logGamma(ones + 1) +
    logGamma(zeros + 1) -
    logGamma(ones + zeros + 2) -
    ones * Math.log(p0) -
    zeros * Math.log1p(-p0);
  if (alternative === 'two-sided') return against;
  const cut = cutMixture(p0, 1 - p0, 1, 1);
  return (ones, zeros) => cut(ones, zeros, against(ones, zeros));
}
