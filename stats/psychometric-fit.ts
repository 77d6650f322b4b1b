import { choice, figure, list, number, options, whole } from './check';
import { StatsError } from './errors';
import {
  type LevelRow,
  lostOf,
  ownLogLik,
  type Point,
  type PsychometricShape,
  psychometricShapes,
  shapes,
} from './psychometric-shapes';

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

/** Where F's argument is a + b·z, z being the level as the curve counts it, and how much log likelihood that loses to own shares. */
interface Line {
  a: number;
  b: number;
  lost: number;
}

/** Arguments of F that a start has at two levels. */
const startArguments = [-4, -1.8, -0.6, 0.6, 1.8, 4];
/** Pairs of neighbouring levels that starts go through at most. */
const mostPairs = 24;
/** Closer than this levels run together in the arithmetic. */
const leastSpread = 1e-290;

class Curve {
  readonly centre: number;
  readonly scale: number;
  readonly #z: readonly number[];
  /** The smallest distance of two levels, in z. */
  readonly #gap: number;
  readonly #span: number;
  readonly #at: (x: number) => Point;
  /** Losses so small mean nothing beside rounding. */
  readonly rounding: number;

  constructor(
    readonly rows: readonly LevelRow[],
    readonly guess: number,
    readonly lapse: number,
    shape: PsychometricShape,
  ) {
    // Counted from the middle level in typical distances from it, so that a single far one doesn't press the others together.
    this.centre = rows[Math.floor(rows.length / 2)]?.level ?? 0;
    const distances = rows.map(({ level }) => Math.abs(level - this.centre)).sort((one, other) => one - other);
    this.scale = distances[Math.ceil(rows.length / 2)] ?? 1;
    this.#z = rows.map(({ level }) => (level - this.centre) / this.scale);
    this.#gap = this.#z.reduce(
      (least, z, i) => (i === 0 ? least : Math.min(least, z - (this.#z[i - 1] as number))),
      Infinity,
    );
    this.#span = 1 - guess - lapse;
    this.#at = shapes[shape];
    this.rounding = 1e-9 + 1e-14 * rows.reduce((sum, { trials }) => sum + trials, 0);
  }

  /**
   * The line of greatest likelihood. With guessing there may be several peaks, so the climb starts from lines through pairs
   * of levels, steep and flat, up and down: the best of each pair and the best of all.
   */
  fit(): Line {
    const starts = this.#pairs().flatMap(([i, j]) => {
      const [near, far] = [this.#z[i] as number, this.#z[j] as number];
      const lines = startArguments.flatMap((x) =>
        startArguments
          .filter((y) => y !== x)
          .map((y) => {
            const b = (y - x) / (far - near);
            return this.#place(x - b * near, b);
          }),
      );
      return lines.sort((one, other) => one.lost - other.lost).slice(0, 3);
    });
    starts.sort((one, other) => one.lost - other.lost);
    return starts
      .slice(0, 40)
      .map((start) => this.#climb(start))
      .reduce((best, next) => (next.lost < best.lost ? next : best));
  }

  /** Neighbouring levels, those next but one, and the ends, as far as they are few. */
  #pairs(): [number, number][] {
    const last = this.rows.length - 1;
    const every = Math.max(1, Math.ceil(last / mostPairs));
    const pairs: [number, number][] = [[0, last]];
    for (let i = 0; i < last; i += every) {
      pairs.push([i, Math.min(last, i + every)]);
      if (i + 2 * every < last) pairs.push([i, i + 2 * every]);
    }
    return pairs;
  }

  #place(a: number, b: number): Line {
    let lost = 0;
    for (const [i, row] of this.rows.entries()) {
      const { below, above } = this.#at(a + b * (this.#z[i] as number));
      lost += lostOf(row, this.guess + this.#span * below, this.lapse + this.#span * above);
    }
    return { a, b, lost: Number.isNaN(lost) ? Number.POSITIVE_INFINITY : lost };
  }

  #climb(start: Line): Line {
    let line = start;
    for (let round = 0; round < 200; round++) {
      const step = this.#step(line);
      if (step === null || step.gain < 1e-22) return line;
      let next: Line | null = null;
      for (let part = 1; part > 1e-9 && next === null; part /= 2) {
        const tried = this.#place(line.a + part * step.a, line.b + part * step.b);
        if (tried.lost < line.lost) next = tried;
      }
      // What is left is rounding: the last steps go by the derivatives alone.
      if (next === null) return step.gain < this.rounding ? this.#arrived(line, step) : line;
      line = next;
      // A step, or a threshold out of sight: judged by the caller.
      if (Math.abs(line.b) * this.#gap > 1e5 || Math.abs(line.a) > 1e6 * (1 + Math.abs(line.b))) return line;
    }
    return line;
  }

  #arrived(from: Line, first: { a: number; b: number; gain: number }): Line {
    let [line, step] = [from, first];
    // On a plateau steps shrink without end.
    for (let round = 0; round < 30; round++) {
      const next = this.#place(line.a + step.a, line.b + step.b);
      const further = this.#step(next);
      if (further === null || !(further.gain < step.gain)) return line;
      [line, step] = [next, further];
    }
    return line;
  }

  /** Slopes of the log likelihood, and its information: observed, and expected. */
  #derivatives({ a, b }: Line) {
    const slope = [0, 0] as [number, number];
    const observed = [0, 0, 0] as [number, number, number];
    const expected = [0, 0, 0] as [number, number, number];
    for (const [i, { correct, trials }] of this.rows.entries()) {
      const z = this.#z[i] as number;
      const { below, above, density, bend } = this.#at(a + b * z);
      const [p, q] = [this.guess + this.#span * below, this.lapse + this.#span * above];
      const [d, dd] = [this.#span * density, this.#span * bend];
      const wrong = trials - correct;
      const share = (count: number, by: number, of: number) => (count === 0 || by === 0 ? 0 : (count * by) / of);
      const push = share(correct, d, p) - share(wrong, d, q);
      const curve =
        share(correct, d, p) * (d / p) + share(wrong, d, q) * (d / q) - share(correct, dd, p) + share(wrong, dd, q);
      const sure = d === 0 ? 0 : trials * (d / p) * (d / q);
      slope[0] += push;
      slope[1] += push * z;
      for (const [information, weight] of [
        [observed, curve],
        [expected, sure],
      ] as const) {
        information[0] += weight;
        information[1] += weight * z;
        information[2] += weight * z * z;
      }
    }
    return { slope, observed, expected };
  }

  #step(line: Line): { a: number; b: number; gain: number } | null {
    const { slope, observed, expected } = this.#derivatives(line);
    const [ea, eab, eb] = expected;
    // Where neither information will do, the expected one with its diagonal raised.
    for (const [aa, ab, bb] of [observed, expected, [1.1 * ea, eab, 1.1 * eb] as const]) {
      const determinant = aa * bb - ab * ab;
      if (!(aa > 0 && determinant > 1e-14 * aa * bb)) continue;
      const a = (bb * slope[0] - ab * slope[1]) / determinant;
      const b = (aa * slope[1] - ab * slope[0]) / determinant;
      return { a, b, gain: a * slope[0] + b * slope[1] };
    }
    return null;
  }

  /** How far the line is from the peak, by the promise of one more step. */
  left(line: Line): number {
    return this.#step(line)?.gain ?? Number.POSITIVE_INFINITY;
  }

  standardErrors(line: Line): { threshold: number; slope: number } {
    const [aa, ab, bb] = this.#derivatives(line).expected;
    const determinant = aa * bb - ab * ab;
    const at = -line.a / line.b;
    // The threshold is −a/b in z: its slopes by a and b are −1/b and at·(−1/b).
    const variance = (bb - 2 * at * ab + at * at * aa) / determinant / line.b ** 2;
    return { threshold: this.scale * Math.sqrt(variance), slope: Math.sqrt(aa / determinant) / this.scale };
  }

  /** What the best flat line loses: guessing and lapses bound it. */
  flatLost(): number {
    const [right, all] = [total(this.rows, 'correct'), total(this.rows, 'trials')];
    return this.rows.reduce((sum, row) => sum + this.#lostAt(row, right / all), 0);
  }

  /** What the best step loses, either way up: guessing on one side, lapses on the other, at one level anything. */
  bestStep(): { lost: number; level: number } {
    // Running sums, with what is impossible counted apart: infinities don't subtract.
    const sums = [0, 1].map((share) => {
      const [finite, impossible] = [[0], [0]];
      this.rows.forEach((row, i) => {
        const lost = this.#lostAt(row, share);
        finite.push((finite[i] as number) + (Number.isFinite(lost) ? lost : 0));
        impossible.push((impossible[i] as number) + (Number.isFinite(lost) ? 0 : 1));
      });
      return { finite, impossible };
    });
    const between = (share: number, from: number, to: number) => {
      const { finite, impossible } = sums[share] as { finite: number[]; impossible: number[] };
      if (impossible[to] !== impossible[from]) return Number.POSITIVE_INFINITY;
      return (finite[to] as number) - (finite[from] as number);
    };
    const n = this.rows.length;
    const steps = this.rows.flatMap((row, j) => {
      const own = this.#lostAt(row, row.correct / row.trials);
      return [0, 1].map((first) => ({
        lost: between(first, 0, j) + own + between(1 - first, j + 1, n),
        level: row.level,
      }));
    });
    return steps.reduce((best, step) => (step.lost < best.lost ? step : best));
  }

  #lostAt(row: LevelRow, share: number): number {
    const p = Math.min(1 - this.lapse, Math.max(this.guess, share));
    return lostOf(row, p, p === 1 - this.lapse ? this.lapse : 1 - p);
  }
}

const total = (rows: readonly LevelRow[], what: 'correct' | 'trials') => rows.reduce((sum, row) => sum + row[what], 0);

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
