import { choice, number, probability } from './check';
import { StatsError } from './errors';
import { proportionAt, type ThurstonianMethod, thurstonian, thurstonianMethods } from './thurstonian';

/** What is assumed to be true when a test is planned: pd, or proportion, or dPrime with method. */
export interface Truth {
  chance?: number | undefined;
  pd?: number | undefined;
  proportion?: number | undefined;
  dPrime?: number | undefined;
  method?: ThurstonianMethod | undefined;
}

export interface TrueProportion {
  chance: number;
  proportion: number;
  /** The field that told it, for errors. */
  field: 'pd' | 'proportion' | 'dPrime';
  /** What stood in it. */
  given: number;
}

export const truthFields = ['chance', 'pd', 'proportion', 'dPrime', 'method'] as const;

/** Chance written out to so many digits is still the one of the method. */
const written = 1e-6;

/**
 * The guessing chance and the true probability of a right answer, from whichever way was taken to tell them.
 *
 * With dPrime the method settles chance, which may be left out; given all the same, it must be the method's.
 *
 * @throws StatsError missing (no truth; dPrime without method), inconsistent (more than one truth; a method beside
 *   another truth than dPrime; a chance that isn't the method's)
 */
export function trueProportion(input: Truth): TrueProportion {
  const { pd, proportion, dPrime, method } = input;
  if (dPrime !== undefined) {
    if (pd !== undefined || proportion !== undefined)
      throw beside('dPrime', pd === undefined ? 'proportion' : 'pd', dPrime);
    const asked = choice(method, 'method', thurstonianMethods);
    const d = number(dPrime, 'dPrime', { min: 0 });
    const chance = 1 / thurstonian[asked].answers;
    const given = probability(input.chance ?? chance, 'chance');
    if (Math.abs(given - chance) > written) {
      const wrong = `is not the guessing chance of ${asked}`;
      throw new StatsError('inconsistent', 'chance', wrong, `${chance}, or nothing`, given);
    }
    return { chance, proportion: proportionAt(asked, d), field: 'dPrime', given: d };
  }
  if (pd !== undefined && proportion !== undefined) throw beside('pd', 'proportion', pd);
  if (pd === undefined && proportion === undefined) {
    const allowed = 'pd or proportion, a number from 0 to 1, or dPrime with method';
    throw new StatsError('missing', method === undefined ? 'pd' : 'dPrime', 'is missing', allowed, undefined);
  }
  if (method !== undefined) {
    throw new StatsError('inconsistent', 'method', 'stands without dPrime', 'dPrime with method, or no method', method);
  }
  const chance = probability(input.chance ?? 0.5, 'chance');
  if (proportion !== undefined) {
    const given = number(proportion, 'proportion', { min: 0, max: 1 });
    return { chance, proportion: given, field: 'proportion', given };
  }
  const given = number(pd, 'pd', { min: 0, max: 1 });
  return { chance, proportion: chance + given * (1 - chance), field: 'pd', given };
}

const beside = (field: string, other: string, got: unknown) =>
  new StatsError('inconsistent', field, `stands beside ${other}`, 'one of pd, proportion and dPrime', got);
