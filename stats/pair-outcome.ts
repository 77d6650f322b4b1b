import type { ComparisonModel } from './comparison-model';
import { inverseMills, logNormalCdf } from './normal-tail';

/**
 * Slope and curvature of the log-likelihood of one pair's answers, as `pairOutcome` leaves them. `half` is half the
 * difference of log worths with the order effect in it, `tie` the log weight of a tie beside the geometric mean of the
 * other two; `…Terms` add up the sizes of what a slope is the balance of, to judge what is zero but for rounding.
 */
export interface OutcomeSlopes {
  half: number;
  tie: number;
  halfTerms: number;
  tieTerms: number;
  halfHalf: number;
  halfTie: number;
  tieTie: number;
}

/**
 * Log probabilities that the first wins, that the second does, and of a tie, the weights being e^half, e^−half and e^tie
 * (Davidson 1970); with probit Φ(2·half), Φ(−2·half) and none.
 */
export function logShares(out: Float64Array, { link, tied }: ComparisonModel, half: number, tie: number): void {
  if (link === 'probit') {
    out[0] = logNormalCdf(2 * half);
    out[1] = logNormalCdf(-2 * half);
    out[2] = Number.NEGATIVE_INFINITY;
    return;
  }
  const size = Math.abs(half);
  const ahead = tied ? tie - size : Number.NEGATIVE_INFINITY;
  // log(1 + …) of what stands beside the largest weight keeps its digits however far apart the weights are.
  const behind = Math.exp(-2 * size);
  const total = ahead > 0 ? ahead + Math.log1p((1 + behind) * Math.exp(-ahead)) : Math.log1p(behind + Math.exp(ahead));
  out[0] = (half >= 0 ? 0 : 2 * half) - total;
  out[1] = (half >= 0 ? -2 * half : 0) - total;
  out[2] = ahead - total;
}

/**
 * Slopes and curvatures at one point. The curvature is minus the second derivative; `expected` asks for its mean over
 * the answers instead, which differs with probit only.
 */
export function pairOutcome(
  out: OutcomeSlopes,
  { link, tied }: ComparisonModel,
  half: number,
  tie: number,
  first: number,
  second: number,
  ties: number,
  expected: boolean,
): void {
  if (link === 'probit') {
    probitOutcome(out, 2 * half, first, second, expected);
    return;
  }
  const behind = Math.exp(-2 * Math.abs(half));
  if (!tied) {
    const larger = 1 / (1 + behind);
    const p = half >= 0 ? larger : behind * larger;
    const q = half >= 0 ? behind * larger : larger;
    out.half = 2 * (first * q - second * p);
    out.halfTerms = 2 * (first * q + second * p);
    out.halfHalf = 4 * (first + second) * p * q;
    out.tie = out.tieTerms = out.halfTie = out.tieTie = 0;
    return;
  }
  const ahead = tie - Math.abs(half);
  const top = Math.max(0, ahead);
  const win = Math.exp(-top);
  const draw = Math.exp(ahead - top);
  const total = win + behind * win + draw;
  const p = (half >= 0 ? win : behind * win) / total;
  const q = (half >= 0 ? behind * win : win) / total;
  const t = draw / total;
  const answers = first + second + ties;
  // No probability is taken from 1, so that the small ones keep their digits.
  const up = first * (2 * q + t);
  const down = second * (2 * p + t);
  const on = ties * (p + q);
  const off = (first + second) * t;
  out.half = up - down - ties * (p - q);
  out.halfTerms = up + down + ties * (p + q);
  out.tie = on - off;
  out.tieTerms = on + off;
  out.halfHalf = answers * (4 * p * q + t * (p + q));
  out.halfTie = -answers * (p - q) * t;
  out.tieTie = answers * t * (p + q);
}

function probitOutcome(out: OutcomeSlopes, z: number, first: number, second: number, expected: boolean): void {
  const up = inverseMills(-z);
  const down = inverseMills(z);
  out.half = 2 * (first * up - second * down);
  out.halfTerms = 2 * (first * up + second * down);
  const curvature = expected ? (first + second) * up * down : first * up * (up + z) + second * down * (down - z);
  out.halfHalf = 4 * curvature;
  out.tie = out.tieTerms = out.halfTie = out.tieTie = 0;
}
