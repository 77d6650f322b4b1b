import { symmetricEigen } from '../symmetric-eigen';
import type { Minimum } from './minimise';
import type { ProfiledDeviance } from './profiled-deviance';

/** A root of a variance that may be zero but for the length of the last step. */
const small = 0.05;

/** Signs turned so that variances' roots are positive, and roots near zero put there where that costs nothing. */
export function atZero(deviance: ProfiledDeviance, { point, value }: Minimum): Float64Array {
  let theta = point.slice();
  deviance.places.forEach(({ row, column }, k) => {
    if (row !== column || Math.abs(theta[k] as number) > small) return;
    const trial = theta.slice();
    trial[k] = 0;
    if (deviance.at(trial) <= value + 1e-8) theta = trial;
  });
  return canonical(deviance, theta);
}

/** The factor with a diagonal ≥ 0 that gives the same covariance; a zero on the diagonal has zeros below it. */
function canonical(deviance: ProfiledDeviance, theta: Float64Array): Float64Array {
  const out = theta.slice();
  const at = (block: number, row: number, column: number) =>
    deviance.places.findIndex((place) => place.block === block && place.row === row && place.column === column);
  deviance.data.blocks.forEach(({ effects }, block) => {
    const n = effects.length;
    const entry = (from: Float64Array, row: number, column: number) => from[at(block, row, column)] as number;
    for (let column = 0; column < n; column++) {
      for (let row = column; row < n; row++) {
        let sum = 0;
        for (let k = 0; k <= column; k++) sum += entry(theta, row, k) * entry(theta, column, k);
        const whole = sum;
        for (let k = 0; k < column; k++) sum -= entry(out, row, k) * entry(out, column, k);
        const pivot = entry(out, column, column);
        if (row === column) out[at(block, row, column)] = sum <= 1e-13 * whole ? 0 : Math.sqrt(sum);
        else out[at(block, row, column)] = pivot === 0 ? 0 : sum / pivot;
      }
    }
  });
  return out;
}

export function activeOf(deviance: ProfiledDeviance, theta: Float64Array): number[] {
  const zero = new Set<string>();
  deviance.places.forEach(({ block, row, column }, k) => {
    if (row === column && theta[k] === 0) zero.add(`${block} ${column}`);
  });
  return deviance.places.flatMap(({ block, column }, k) => (zero.has(`${block} ${column}`) ? [] : [k]));
}

/**
 * Where an effect hardly varies beside those before it, the same covariance, that last bit aside, written with as much of
 * the later effects' spread in that effect's column as fits: from there it has a slope to vary along, which it hasn't where
 * its column is zero. Null where every effect varies, or has none after it that do.
 */
export function turnedOver({ places, data }: ProfiledDeviance, theta: Float64Array): Float64Array | null {
  let out: Float64Array | null = null;
  data.blocks.forEach(({ effects }, block) => {
    const at = (row: number, column: number) =>
      places.findIndex((place) => place.block === block && place.row === row && place.column === column);
    for (let column = 0; column < effects.length - 1; column++) {
      const from = out ?? theta;
      if (Math.abs(from[at(column, column)] as number) > small) continue;
      const rest = effects.length - 1 - column;
      const spread = new Float64Array(rest * rest);
      for (let i = 0; i < rest; i++) {
        for (let j = 0; j < rest; j++) {
          for (let k = column; k <= column + 1 + Math.min(i, j); k++) {
            const [a, b] = [from[at(column + 1 + i, k)] as number, from[at(column + 1 + j, k)] as number];
            spread[i * rest + j] = (spread[i * rest + j] as number) + a * b;
          }
        }
      }
      const { values, vectors } = symmetricEigen(spread, rest);
      const root = Math.sqrt(Math.max(0, values[0] as number));
      if (root === 0) continue;
      out = from.slice();
      out[at(column, column)] = 0;
      for (let i = 0; i < rest; i++) {
        out[at(column + 1 + i, column)] = root * (vectors[i] as number);
        for (let j = 0; j < rest; j++) {
          const taken = (values[0] as number) * (vectors[i] as number) * (vectors[j] as number);
          spread[i * rest + j] = (spread[i * rest + j] as number) - taken;
        }
      }
      // What is left goes into the columns after it.
      for (let j = 0; j < rest; j++) {
        for (let i = j; i < rest; i++) {
          let sum = spread[i * rest + j] as number;
          for (let k = 0; k < j; k++) {
            sum -=
              (out[at(column + 1 + i, column + 1 + k)] as number) * (out[at(column + 1 + j, column + 1 + k)] as number);
          }
          const pivot = out[at(column + 1 + j, column + 1 + j)] as number;
          const whole = values[0] as number;
          if (i === j) out[at(column + 1 + i, column + 1 + j)] = sum <= 1e-13 * whole ? 0 : Math.sqrt(sum);
          else out[at(column + 1 + i, column + 1 + j)] = pivot === 0 ? 0 : sum / pivot;
        }
      }
    }
  });
  return out;
}
