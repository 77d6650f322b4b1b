import { choice, figure, list, number, options, whole } from './check';
import { StatsError } from './errors';
import { Curve, type Line, total } from './psychometric-curve';
import { type LevelRow, ownLogLik, type PsychometricShape, psychometricShapes } from './psychometric-shapes';

export interface PsychometricFitInput {
  levels: readonly number[];
  correct: readonly number[];
  trials: readonly number[];
  guess: number;
  lapse?: number | undefined;
  shape?: PsychometricShape | undefined;
}

export interface PsychometricFitResult {
  threshold: number;
  slope: number;
  standardErrors: { threshold: number; slope: number };
  logLik: number;
  deviance: number;
  degreesOfFreedom: number;
}

/**
 * The level at which a change is heard half of the time, and how fast hearing grows with the level: a psychometric
 * function through right answers at several levels.
 *
 * Use it on answers at levels that were fixed beforehand, or on the track of a staircase. Assumes independent answers and
 * P(right) = guess + (1 − guess − lapse)·F(slope·(level − threshold)), with F logistic, 1/(1 + e^(−x)), or normal, Φ(x).
 * guess and lapse are taken for known: what is right by guessing where nothing is heard, and what is wrong by oversight
 * where everything is.
 *
 * @param input.levels one a row, in any unit, at least two different ones; rows of one level are added up
 * @param input.correct right answers at each, from 0 to its trials
 * @param input.trials at each, from 1 to 1e9
 * @param input.guess from 0 to below 1
 * @param input.lapse from 0, by default 0; guess + lapse below 1
 * @param input.shape logistic, normal, by default logistic
 * @returns threshold: the level at which F is ½, halfway from guess to 1 − lapse, in the unit of the levels; beyond the
 *   levels that were asked it is an extrapolation, as its standard error shows. slope: that of the argument of F, per
 *   unit of level (logistic: log odds; normal: 1/slope is the standard deviation of the threshold from trial to trial);
 *   below 0 where answers get worse as the level rises, as with attenuation. standardErrors from the expected
 *   information, as a generalised linear model has them, that of the threshold by the delta method. logLik of the counts
 *   with their binomial coefficients. deviance: twice the log likelihood that each level's own share of right answers
 *   would gain, with degreesOfFreedom, levels less 2
 * @throws StatsError not-enough-data: fewer than two levels; no-variation: all or none right, or the best curve is flat,
 *   that is right answers don't change with the level, or no level gave more of them than guessing; separated: the best
 *   curve is a step, so that its slope has no end and its threshold lies anywhere between two levels; not-converged; also
 *   missing, unknown-option, unknown-choice, wrong-type, out-of-range, inconsistent
 *
 * Accuracy: threshold and slope 1e-10 relative (a threshold near 0: of the spread of the levels), logLik 1e-12.
 * Source: Finney (1971), Probit Analysis, 3rd ed. (with Abbott's correction for guessing); Treutwein & Strasburger (1999),
 * Perception & Psychophysics 61:87–106 (the form with guess and lapse); McCullagh & Nelder (1989), Generalized Linear
 * Models, 4.4 (scoring, deviance); citations from memory.
 *
 * @example
 * psychometricFit({ levels: [1, 2, 3, 4, 5], correct: [11, 13, 15, 19, 20], trials: [20, 20, 20, 20, 20], guess: 0.5 })
 * // { threshold: 2.80426836452909, slope: 1.78579093873862, standardErrors: { threshold: 0.341632929957810, slope: 0.689045091108861 }, logLik: -6.46110384895368, deviance: 0.933490047485873, degreesOfFreedom: 3 }
 */
export function psychometricFit(input: PsychometricFitInput): PsychometricFitResult {
  options(input, ['levels', 'correct', 'trials', 'guess', 'lapse', 'shape']);
  const rows = rowsOf(input);
  const guess = number(input.guess, 'guess', { min: 0, max: 1 });
  const lapse = number(input.lapse ?? 0, 'lapse', { min: 0, max: 1 });
  for (const [path, share] of [
    ['guess', guess],
    ['lapse', lapse],
  ] as const) {
    if (share === 1) throw new StatsError('out-of-range', path, 'is out of range', 'a number from 0 to below 1', share);
  }
  if (guess + lapse >= 1) {
    const got = `guess ${guess}, lapse ${lapse}`;
    throw new StatsError('inconsistent', 'lapse', 'leaves nothing to hear', 'guess + lapse below 1', got);
  }
  const shape = choice(input.shape ?? 'logistic', 'shape', psychometricShapes);
  requireChange(rows);
  const curve = new Curve(rows, guess, lapse, shape);
  const best = curve.fit();
  requireCurve(curve, best);
  const { centre, scale } = curve;
  const [threshold, slope] = [centre - (scale * best.a) / best.b, best.b / scale];
  return {
    threshold,
    slope,
    standardErrors: curve.standardErrors(best),
    logLik: rows.reduce((sum, row) => sum + ownLogLik(row), 0) - best.lost,
    deviance: 2 * best.lost,
    degreesOfFreedom: rows.length - 2,
  };
}

/** Closer than this levels run together in the arithmetic. */
const leastSpread = 1e-290;

function requireChange(rows: readonly LevelRow[]): void {
  const [right, all] = [total(rows, 'correct'), total(rows, 'trials')];
  if (right > 0 && right < all) return;
  const [wrong, where] = right === 0 ? ['have no right one', 'above'] : ['are all right', 'below'];
  const allowed = `right and wrong answers: the threshold is ${where} the levels, or out of reach`;
  throw new StatsError('no-variation', 'correct', wrong, allowed, `${right} of ${all}`);
}

/** A curve that is no flat line and no step, and the peak itself. */
function requireCurve(curve: Curve, best: Line): void {
  const slack = curve.rounding;
  const shares = curve.rows.map(({ correct, trials }) => `${correct}/${trials}`).join(', ');
  if (curve.flatLost() <= best.lost + slack) {
    const wrong = 'don’t change with the level, or not beyond guessing, so that there is no threshold';
    throw new StatsError('no-variation', 'correct', wrong, 'answers that get better or worse with the level', shares);
  }
  const step = curve.bestStep();
  if (step.lost <= best.lost + slack) {
    const wrong = `jump at level ${step.level} from guessing to always right, so that the slope has no end`;
    throw new StatsError(
      'separated',
      'correct',
      wrong,
      'two levels at which some answers are right and some wrong',
      shares,
    );
  }
  if (!(curve.left(best) < 1e-10)) {
    const got = `threshold ${curve.centre - (curve.scale * best.a) / best.b}`;
    throw new StatsError(
      'not-converged',
      'correct',
      'have a likelihood whose peak was not found',
      'answers that follow such a curve',
      got,
    );
  }
}

/** Rows by level, those of one level added up. */
function rowsOf({ levels, correct, trials }: PsychometricFitInput): LevelRow[] {
  const at = list(levels, 'levels', 2, 'levels').map((level, i) => figure(level, `levels.${i}`));
  const asked = list(trials, 'trials', 1, 'counts').map((one, i) => whole(one, `trials.${i}`, { min: 1, max: 1e9 }));
  sameLength('trials', asked.length, at.length);
  const right = list(correct, 'correct', 1, 'counts');
  sameLength('correct', right.length, at.length);
  const rows = new Map<number, LevelRow>();
  for (const [i, level] of at.entries()) {
    const row = rows.get(level) ?? { level, correct: 0, trials: 0 };
    row.correct += whole(right[i], `correct.${i}`, { min: 0, max: asked[i] as number });
    row.trials += asked[i] as number;
    rows.set(level, row);
  }
  if (rows.size < 2) {
    throw new StatsError('not-enough-data', 'levels', 'are all the same', 'at least two different levels', at[0]);
  }
  const sorted = [...rows.values()].sort((a, b) => a.level - b.level);
  const close = sorted.findIndex((row, i) => i > 0 && row.level - (sorted[i - 1]?.level ?? 0) < leastSpread);
  if (close > 0) {
    const wrong = 'has levels too close together to be told apart';
    throw new StatsError('out-of-range', 'levels', wrong, `distances of ${leastSpread} or more`, sorted[close]?.level);
  }
  return sorted;
}

function sameLength(path: string, length: number, wanted: number): void {
  if (length === wanted) return;
  const allowed = `as many entries as levels, ${wanted}`;
  throw new StatsError('inconsistent', path, 'differ in length', allowed, `${length} entries`);
}
