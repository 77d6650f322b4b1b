import { type LevelRow, lostOf, type Point, type PsychometricShape, shapes } from './psychometric-shapes';

/** Where F's argument is a + b·z, z being the level as the curve counts it, and how much log likelihood that loses to own shares. */
export interface Line {
  a: number;
  b: number;
  lost: number;
}

/** Arguments of F that a start has at two levels. */
const startArguments = [-4, -1.8, -0.6, 0.6, 1.8, 4];
/** Pairs of neighbouring levels that starts go through at most. */
const mostPairs = 24;

/** A curve of that shape through rows, and how well its lines fit. */
export class Curve {
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

export const total = (rows: readonly LevelRow[], what: 'correct' | 'trials') =>
  rows.reduce((sum, row) => sum + row[what], 0);
