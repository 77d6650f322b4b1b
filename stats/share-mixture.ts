import { crossing } from './crossing';
import { StatsError } from './errors';
import { type CountRow, GuessedCounts, type Likelihood } from './guessed-counts';

/** Where the likelihood is largest. */
export interface MixtureFit {
  mean: number;
  /** `null` where nothing tells how much listeners differ: one trial each, or none of them ever hears it, or all always. */
  gamma: number | null;
  logLik: number;
  standardErrors: { mean: number | null; gamma: number | null };
  /** Whether mean or gamma lies at an end of what is possible. */
  boundary: boolean;
}

/** Nearest to gamma 1 and to mean 0 and 1 that derivatives are asked for; the ends themselves have closed forms. */
const gammaMost = 1 - 1e-9;
const meanLeast = 1e-12;

const startMeans = [0.02, 0.1, 0.25, 0.5, 0.75, 0.9, 0.98];
const startGammas = [1e-3, 0.03, 0.2, 0.5, 0.8, 0.97];
/** Where listeners answered unlike numbers of trials the likelihood may have peaks close together. */
const closeMeans = [0.02, 0.06, 0.1, 0.18, 0.25, 0.33, 0.4, 0.5, 0.6, 0.67, 0.75, 0.82, 0.9, 0.94, 0.98];
const closeGammas = [1e-3, 0.01, 0.03, 0.06, 0.1, 0.2, 0.35, 0.5, 0.65, 0.8, 0.97];
/** Means at which the profile is looked at beyond a limit, as shares of the way to the end. */
const lookouts = [0.01, 0.03, 0.06, 0.1, 0.15, 0.2, 0.25, 0.3, 0.36, 0.42, 0.5, 0.58, 0.66, 0.74, 0.82, 0.9, 0.96];

const unknown = { mean: null, gamma: null };

/**
 * The beta distribution of shares in `GuessedCounts`, fitted: mean and gamma of the largest likelihood, and the means that
 * leave it within a given drop, gamma being the likeliest for each (profile likelihood).
 *
 * Two peaks are possible (a few listeners who always hear it, or all of them a little), so the search begins at every peak
 * of a grid and the highest end counts. From there Newton's rule with exact derivatives, shortened until it climbs, within
 * 0 ≤ gamma ≤ 1; at an end of gamma its derivative points outward. Gamma 0 (all alike: binomial), gamma 1 (each always or
 * never) and mean 0 (nobody ever) have likelihoods of their own, which are compared.
 */
export class ShareMixture {
  readonly #counts: GuessedCounts;
  readonly #rows: readonly CountRow[];
  readonly #chance: number;
  /** Odds of gamma by tens, from so few that all trials together hardly show it. */
  readonly #gammas: readonly number[];
  /** The same with more between, for profiles with two peaks. */
  readonly #fine: readonly number[];
  /** Log likelihoods at the means and gammas at which the search may begin. */
  readonly #grid: readonly (readonly number[])[];
  /** A gain so small that Newton's rule doubles the digits with each step, and that rounding may hide. */
  readonly #near: number;
  readonly #means: readonly number[];
  readonly #tried: readonly number[];
  /** Whether listeners answered unlike numbers of trials. */
  readonly #unequal: boolean;
  /** With one trial each, listeners who differ look like listeners who don't. */
  readonly identified: boolean;

  /** Rows as of trusted callers: no two alike, trials at least 1. */
  constructor(rows: readonly CountRow[], chance: number) {
    this.#rows = rows;
    this.#chance = chance;
    this.#counts = new GuessedCounts(rows, chance);
    const most = rows.reduce((largest, { trials }) => Math.max(largest, trials), 1);
    const lowest = -Math.ceil(Math.log10(most)) - 2;
    this.#gammas = Array.from({ length: 3 - lowest }, (_, i) => 1 / (1 + 10 ** -(lowest + i)));
    const between = closeGammas.filter((one) => this.#gammas.every((other) => Math.abs(one - other) > 0.01 * one));
    this.#fine = [0, ...this.#gammas, ...between].sort((a, b) => a - b);
    this.identified = most > 1;
    this.#near = 1e-9 + 2e-14 * rows.reduce((sum, { trials, weight }) => sum + trials * weight, 0);
    this.#unequal = rows.some(({ trials }) => trials !== rows[0]?.trials);
    this.#means = this.#unequal ? closeMeans : startMeans;
    this.#tried = !this.identified ? [0] : this.#unequal ? closeGammas : startGammas;
    this.#grid = this.#means.map((mean) => this.#tried.map((gamma) => this.#counts.height(mean, gamma)));
  }

  fit(): MixtureFit {
    const end = { gamma: null, standardErrors: unknown, boundary: true };
    if (this.#rows.every(({ correct, trials }) => correct === trials)) return { ...end, mean: 1, logLik: 0 };
    const nobody = { ...end, mean: 0, logLik: this.#counts.atNobody() };
    if (this.#rows.every(({ correct }) => correct === 0)) return nobody;
    const alike = this.#alike();
    if (!this.identified) return alike === null ? nobody : { ...alike, gamma: null, boundary: false };
    // Of equal ends the simpler counts: nobody hears it, all alike, each always or never.
    let best = alike ?? nobody;
    const higher = (peak: MixtureFit | null) => {
      if (peak !== null && peak.logLik > best.logLik + this.#rounding(best.logLik)) best = peak;
    };
    higher(this.#allOrNothing());
    for (const start of this.#starts(alike?.mean ?? 0)) higher(this.#climb(start, best.logLik));
    return best;
  }

  /**
   * The lowest and highest mean whose largest likelihood is at most `drop` (above 0) below that of the fit. Should the
   * profile have a second peak that high, it lies inside: where listeners answered unlike numbers of trials, the way from
   * each limit to the end is looked over once more.
   */
  limits({ mean, logLik, standardErrors }: MixtureFit, drop: number): { lower: number; upper: number } {
    const least = logLik - drop;
    const reach = standardErrors.mean === null ? Number.NaN : standardErrors.mean * Math.sqrt(2 * drop);
    const inside = this.#means.filter((_, i) => Math.max(...(this.#grid[i] ?? [])) >= least);
    const nobody = this.#chance > 0 && this.#counts.atNobody() >= least;
    const limit = (from: number, end: 0 | 1, guess: number) => {
      const first = this.#limit(from, end, guess, logLik, drop);
      return this.#outermost(first, end, least);
    };
    return {
      lower: mean === 0 || nobody ? 0 : limit(Math.min(mean, ...inside), 0, mean - reach),
      upper: mean === 1 ? 1 : limit(Math.max(mean, ...inside), 1, mean + reach),
    };
  }

  /** The last mean on the way from a limit to the end at which the profile still reaches so high, or the limit itself. */
  #outermost(from: number, end: 0 | 1, least: number): number {
    const reaches = (mean: number) => this.#profile(mean, null).logLik >= least;
    const beyond = reaches(from + 1e-6 * (end - from));
    if (!beyond && !this.#unequal) return from;
    const places = lookouts.map((share) => from + share * (end - from));
    const last = places.findLastIndex(reaches);
    if (last < 0 && !beyond) return from;
    let [inner, outer] = [places[last] ?? from, places[last + 1] ?? end];
    for (let round = 0; round < 60 && Math.abs(outer - inner) > 1e-12; round++) {
      const middle = (inner + outer) / 2;
      if (reaches(middle)) inner = middle;
      else outer = middle;
    }
    return inner;
  }

  /** All listeners alike: the binomial, or null where its mean is 0. */
  #alike(): MixtureFit | null {
    let [right, all] = [0, 0];
    for (const { correct, trials, weight } of this.#rows) {
      right += weight * correct;
      all += weight * trials;
    }
    const mean = (right / all - this.#chance) / (1 - this.#chance);
    if (mean <= 0) return null;
    const { logLik, byMeanTwice } = this.#counts.at(mean, 0);
    const standardErrors = { mean: 1 / Math.sqrt(-byMeanTwice), gamma: null };
    return { mean, gamma: 0, logLik, standardErrors, boundary: true };
  }

  /** Each listener hears it always or never: null where somebody's answers forbid it, or nobody hears it. */
  #allOrNothing(): MixtureFit | null {
    if (this.#chance === 0 && this.#rows.some(({ correct, trials }) => correct > 0 && correct < trials)) return null;
    const slope = (mean: number) => this.#atOne(mean).byMean;
    if (slope(0) <= 0) return null;
    const mean = crossing(0, 1, (at) => slope(at) <= 0);
    const { logLik, byMeanTwice } = this.#atOne(mean);
    return {
      mean,
      gamma: 1,
      logLik,
      standardErrors: { mean: 1 / Math.sqrt(-byMeanTwice), gamma: null },
      boundary: true,
    };
  }

  /** The likelihood at gamma 1. */
  #atOne(mean: number): Pick<Likelihood, 'logLik' | 'byMean' | 'byMeanTwice'> {
    const sum = { logLik: 0, byMean: 0, byMeanTwice: 0 };
    for (const row of this.#counts.rows) {
      const all = row.wrong === 0;
      const guessed = this.#chance ** row.trials;
      const per = all ? (1 - guessed) / (guessed + mean * (1 - guessed)) : -1 / (1 - mean);
      const one = all ? Math.log(guessed + mean * (1 - guessed)) : this.#counts.ofNobody(row) + Math.log1p(-mean);
      sum.logLik += row.weight * one;
      sum.byMean += row.weight * per;
      sum.byMeanTwice -= row.weight * per * per;
    }
    return sum;
  }

  /** The peaks of a grid, and the best gamma beside the mean of the binomial. */
  #starts(mean: number): Point[] {
    const beside = Math.min(0.99, Math.max(0.01, mean));
    const line = this.#gammas.map((gamma) => this.#counts.height(beside, gamma));
    const starts = [{ mean: beside, gamma: this.#gammas[line.indexOf(Math.max(...line))] as number }];
    const height = (i: number, j: number) => this.#grid[i]?.[j] ?? Number.NEGATIVE_INFINITY;
    for (const [i, at] of this.#means.entries()) {
      for (const [j, gamma] of this.#tried.entries()) {
        const around = [height(i - 1, j), height(i + 1, j), height(i, j - 1), height(i, j + 1)];
        if (around.every((other) => height(i, j) >= other)) starts.push({ mean: at, gamma });
      }
    }
    return starts;
  }

  /** Newton's rule uphill; null where it runs into an end that has a likelihood of its own, or into `known` height. */
  #climb(from: Point, known: number): MixtureFit | null {
    let place: Place = { ...from, at: this.#counts.at(from.mean, from.gamma) };
    for (let round = 0; round < 500; round++) {
      const newton = newtonStep(place);
      if (newton && newton.gain < this.#near) return this.#arrived(place, newton);
      const next = (newton && this.#better(place, newton)) ?? this.#better(place, plainStep(place));
      if (next === null) break;
      place = next;
      const { mean, gamma } = place;
      if (mean <= 2 * meanLeast || mean >= 1 - 2 * meanLeast || gamma >= gammaMost) return null;
    }
    if (place.at.logLik <= known + this.#rounding(known)) return null;
    const wrong = `have a likelihood whose peak was not found from mean ${from.mean} and gamma ${from.gamma}`;
    const got = `mean ${place.mean}, gamma ${place.gamma}`;
    throw new StatsError('not-converged', 'listeners', wrong, 'counts that settle how much listeners differ', got);
  }

  /** The last steps go without asking whether they climb: the likelihood no longer tells, its derivatives do. */
  #arrived(from: Place, first: Gain): MixtureFit {
    let [place, newton] = [from, first];
    for (;;) {
      const { mean, gamma } = { mean: place.mean + newton.mean, gamma: place.gamma + newton.gamma };
      const next = { mean, gamma, at: this.#counts.at(mean, gamma) };
      const further = newtonStep(next);
      if (further === null || further.gain >= newton.gain) break;
      [place, newton] = [next, further];
    }
    return { mean: place.mean, gamma: place.gamma, logLik: place.at.logLik, ...errorsOf(place) };
  }

  /** Of a likelihood of this height, less means nothing. */
  #rounding(height: number): number {
    return 1e-12 * (1 + Math.abs(height)) + this.#near / 20;
  }

  /** A step taken, or the longest part of it by halves that climbs. */
  #better(place: Place, step: Point): Place | null {
    for (let part = 1; part > 1e-9; part /= 2) {
      const [mean, gamma] = [place.mean + part * step.mean, place.gamma + part * step.gamma];
      if (mean === place.mean && gamma === place.gamma) return null;
      const at = this.#counts.at(mean, gamma);
      if (at.logLik > place.at.logLik) return { mean, gamma, at };
    }
    return null;
  }

  /** The largest likelihood at a mean: the peak of a row of gammas and its ends, or the one beside a gamma told. */
  #profile(mean: number, beside: number | null): Profile {
    if (!this.identified) return { ...this.#counts.at(mean, 0), gamma: 0 };
    const one = { ...this.#atOne(mean), gamma: 1 };
    let [low, high, gamma] = [0, gammaMost, beside ?? 0];
    if (beside === null) {
      const places = this.#unequal ? this.#fine : [0, ...this.#gammas];
      const heights = places.map((each) => this.#counts.height(mean, each));
      const top = heights.indexOf(Math.max(...heights));
      [low, high, gamma] = [places[top - 1] ?? 0, places[top + 1] ?? gammaMost, places[top] as number];
      if (top === places.length - 1 && this.#counts.at(mean, gammaMost).byGamma >= 0) return one;
    }
    let best = this.#counts.at(mean, gamma);
    for (let round = 0; round < 200; round++) {
      if (gamma === 0 && best.byGamma <= 0) break;
      if (best.byGamma > 0) low = gamma;
      else high = gamma;
      const newton = gamma - best.byGamma / best.byGammaTwice;
      const within = best.byGammaTwice < 0 && newton > low && newton < high;
      const next = within ? newton : low === 0 ? high / 10 : Math.sqrt(low * high);
      const moved = Math.abs(next - gamma);
      gamma = next;
      best = this.#counts.at(mean, gamma);
      // The height is off by no more than the square of the square of this.
      if (moved <= 1e-5 * gamma || gamma < 1e-15) break;
    }
    return one.logLik > best.logLik ? one : { ...best, gamma };
  }

  /** Between a mean inside and an end: where the profile has fallen by `drop`, by Newton's rule on the root of the fall. */
  #limit(from: number, end: 0 | 1, guess: number, logLik: number, drop: number): number {
    let [inner, outer] = [from, end as number];
    const wanted = Math.sqrt(2 * drop);
    // Halfway to the end at most, or where nothing is known of the width.
    const half = (from + end) / 2;
    let at = (guess - half) * (guess - from) < 0 ? guess : half;
    let beside: number | null = null;
    for (let round = 0; round < 200; round++) {
      const profile = this.#profile(at, beside);
      const fallen = Math.sqrt(Math.max(0, 2 * (logLik - profile.logLik)));
      if (fallen < wanted) inner = at;
      else outer = at;
      const newton = at + ((fallen - wanted) * fallen) / profile.byMean;
      const [low, high] = inner < outer ? [inner, outer] : [outer, inner];
      const inside = newton > low && newton < high;
      const next = inside ? newton : (inner + outer) / 2;
      const moved = Math.abs(next - at);
      const done = next === inner || next === outer || moved <= (inside ? 1e-7 : 1e-12) * Math.min(next, 1 - next);
      at = next;
      // Steps go from peak to peak; the last looks whether another has become higher.
      if (done && beside === null) break;
      beside = done || profile.gamma === 0 || profile.gamma === 1 ? null : profile.gamma;
    }
    return at;
  }
}

interface Profile {
  logLik: number;
  byMean: number;
  gamma: number;
}

interface Point {
  mean: number;
  gamma: number;
}

interface Place extends Point {
  at: Likelihood;
}

/** A step, and twice the likelihood that it promises. */
interface Gain extends Point {
  gain: number;
}

/** The mean's step, cut so that it stays inside by a part of the way. */
const cutMean = (step: number, mean: number) => Math.min((1 - mean) * 0.8, Math.max(-0.8 * mean, step));
/** Gamma's, which may reach its ends. */
const cutGamma = (step: number, gamma: number) =>
  Math.max(-gamma, Math.min(step, 1 - gamma < 1e-7 ? gammaMost - gamma : (1 - gamma) * 0.9));

const heldAtEnd = ({ at, gamma }: Place) => (gamma === 0 && at.byGamma <= 0) || (gamma >= gammaMost && at.byGamma >= 0);

/** Newton's step, cut to stay inside; null where the likelihood curves up. */
function newtonStep(place: Place): Gain | null {
  const { mean, gamma, at } = place;
  const [a, b, c] = [-at.byMeanTwice, -at.byGammaTwice, at.byBoth];
  if (!(a > 0)) return null;
  if (heldAtEnd(place)) return { mean: cutMean(at.byMean / a, mean), gamma: 0, gain: at.byMean ** 2 / a };
  const determinant = a * b - c * c;
  if (!(determinant > 0)) return null;
  const byMean = (b * at.byMean + c * at.byGamma) / determinant;
  const byGamma = (a * at.byGamma + c * at.byMean) / determinant;
  const inside = cutGamma(byGamma, gamma);
  // Where gamma is held at an end, the mean goes where it would be best there.
  const best = inside === byGamma ? byMean : (at.byMean + c * inside) / a;
  return { mean: cutMean(best, mean), gamma: inside, gain: byMean * at.byMean + byGamma * at.byGamma };
}

/** Uphill in each by itself: climbs wherever anything does. */
const plainStep = (place: Place): Point => {
  const { mean, gamma, at } = place;
  return {
    mean: cutMean(at.byMean / (Math.abs(at.byMeanTwice) + 1e-9), mean),
    gamma: heldAtEnd(place) ? 0 : cutGamma(at.byGamma / (Math.abs(at.byGammaTwice) + 1e-9), gamma),
  };
};

function errorsOf({ at: { byMeanTwice: aa, byGammaTwice: gg, byBoth: ag }, gamma }: Place) {
  if (gamma === 0) return { boundary: true, standardErrors: { mean: 1 / Math.sqrt(-aa), gamma: null } };
  const determinant = aa * gg - ag * ag;
  const standardErrors = { mean: Math.sqrt(-gg / determinant), gamma: Math.sqrt(-aa / determinant) };
  return { boundary: false, standardErrors };
}
