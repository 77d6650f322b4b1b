import type { PairCounts } from './comparisons';
import { StatsError } from './errors';

const mostSteps = 100;

/**
 * Log worths of greatest likelihood, sum zero, for P(i beats j) = 1/(1 + exp(λⱼ − λᵢ)), by Newton's rule from `start`,
 * with halved steps where the likelihood would fall. The likelihood is concave, so what it ends at is the maximum; that
 * there is one is the caller's to know (`estimable`).
 *
 * @throws StatsError not-converged after 100 steps
 */
export function fitWorths(pairs: PairCounts, wins: Float64Array, start?: Float64Array): Float64Array {
  const n = pairs.items;
  let worths: Float64Array = start ? start.slice() : new Float64Array(n);
  let likelihood = logLikelihood(pairs, wins, worths);
  for (let step = 0; step < mostSteps; step++) {
    const move = solve(information(pairs, wins, worths), gradient(pairs, wins, worths));
    let largest = 0;
    for (const one of move) largest = Math.max(largest, Math.abs(one));
    let scale = 1;
    let tried = moved(worths, move, scale);
    let reached = logLikelihood(pairs, wins, tried);
    while (reached < likelihood - 1e-10 * Math.abs(likelihood) && scale > 1e-6) {
      scale /= 2;
      tried = moved(worths, move, scale);
      reached = logLikelihood(pairs, wins, tried);
    }
    worths = tried;
    likelihood = reached;
    if (largest * scale < 1e-9) return worths;
  }
  throw new StatsError('not-converged', 'comparisons', 'no estimate was reached', `${mostSteps} steps`, mostSteps);
}

/** Covariance of the log worths under sum zero: the inverse of (information + J/n), less J/n, J being all ones. */
export function worthCovariance(pairs: PairCounts, wins: Float64Array, worths: Float64Array): Float64Array[] {
  const n = pairs.items;
  const matrix = information(pairs, wins, worths);
  return Array.from({ length: n }, (_, column) => {
    const unit = new Float64Array(n);
    unit[column] = 1;
    return solve(matrix.slice(), unit).map((value) => value - 1 / n);
  });
}

function moved(worths: Float64Array, move: Float64Array, scale: number): Float64Array {
  return worths.map((worth, i) => worth + scale * (move[i] as number));
}

/** Σ wins·log P, without coefficients. */
function logLikelihood(pairs: PairCounts, wins: Float64Array, worths: Float64Array): number {
  let sum = 0;
  for (let k = 0; k < pairs.low.length; k++) {
    const difference = (worths[pairs.low[k] as number] as number) - (worths[pairs.high[k] as number] as number);
    // log(1 + exp(−|d|)) keeps its digits on both sides.
    const rest = Math.log1p(Math.exp(-Math.abs(difference)));
    const behind = rest + Math.abs(difference);
    const lowAhead = difference >= 0;
    sum -= (wins[2 * k] as number) * (lowAhead ? rest : behind);
    sum -= (wins[2 * k + 1] as number) * (lowAhead ? behind : rest);
  }
  return sum;
}

function gradient(pairs: PairCounts, wins: Float64Array, worths: Float64Array): Float64Array {
  const out = new Float64Array(pairs.items);
  for (let k = 0; k < pairs.low.length; k++) {
    const low = pairs.low[k] as number;
    const high = pairs.high[k] as number;
    const trials = (wins[2 * k] as number) + (wins[2 * k + 1] as number);
    const excess =
      (wins[2 * k] as number) - trials / (1 + Math.exp((worths[high] as number) - (worths[low] as number)));
    out[low] = (out[low] as number) + excess;
    out[high] = (out[high] as number) - excess;
  }
  return out;
}

/** Information of the log worths plus J/n, row by row: positive definite where the items hang together. */
function information(pairs: PairCounts, wins: Float64Array, worths: Float64Array): Float64Array {
  const n = pairs.items;
  const out = new Float64Array(n * n).fill(1 / n);
  const add = (row: number, column: number, value: number) => {
    out[row * n + column] = (out[row * n + column] as number) + value;
  };
  for (let k = 0; k < pairs.low.length; k++) {
    const low = pairs.low[k] as number;
    const high = pairs.high[k] as number;
    const p = 1 / (1 + Math.exp((worths[high] as number) - (worths[low] as number)));
    const weight = ((wins[2 * k] as number) + (wins[2 * k + 1] as number)) * p * (1 - p);
    add(low, low, weight);
    add(high, high, weight);
    add(low, high, -weight);
    add(high, low, -weight);
  }
  return out;
}

/** Solves a positive definite system by Cholesky's decomposition, in place. */
function solve(matrix: Float64Array, right: Float64Array): Float64Array {
  const n = right.length;
  for (let j = 0; j < n; j++) {
    for (let i = j; i < n; i++) {
      let sum = matrix[i * n + j] as number;
      for (let k = 0; k < j; k++) sum -= (matrix[i * n + k] as number) * (matrix[j * n + k] as number);
      matrix[i * n + j] = i === j ? Math.sqrt(Math.max(sum, 1e-300)) : sum / (matrix[j * n + j] as number);
    }
  }
  const out = right.slice();
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) out[i] = (out[i] as number) - (matrix[i * n + k] as number) * (out[k] as number);
    out[i] = (out[i] as number) / (matrix[i * n + i] as number);
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) out[i] = (out[i] as number) - (matrix[k * n + i] as number) * (out[k] as number);
    out[i] = (out[i] as number) / (matrix[i * n + i] as number);
  }
  return out;
}
