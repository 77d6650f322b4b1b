import type { Plan } from '../../shared/plan';
import { chosenPercent } from '../number-words';
import { handOversOfTrial } from './minutes';
import type { FindsOfAudience } from './view-models';

/** What a method says about a plan's size; the rest is common to all. */
export interface MethodFinds {
  /** One sitting in words. */
  trialsWords: string;
  ifTruly: string;
  audiences: FindsOfAudience[];
  /** Audiences that can't show anything, and what else the size forbids. */
  warnings: string[];
  /** What is counted, and on which assumptions. */
  counted: string;
  assumptions: string[];
}

export const inSessions = (plan: Plan): string =>
  plan.sessions.count === 1 ? '' : `, in ${plan.sessions.count} sessions`;

/** "to find 75 % with 80 % chance". */
export const toFind = (what: string, beta: number): string => `to find ${what} with ${chosenPercent(1 - beta)} chance`;

/** "6 trials of three samples". */
export function samplesWords(trials: number, plan: Plan): string {
  const samples = handOversOfTrial(plan);
  const words = ['no', 'one', 'two', 'three', 'four', 'five'][samples] ?? String(samples);
  return `${trials} ${trials === 1 ? 'trial' : 'trials'} of ${words} ${samples === 1 ? 'sample' : 'samples'}`;
}

/**
 * Both sizes: exact power goes up and down like a saw, so that the fewest trials that do are not those from which on it
 * lasts.
 */
export function sizesWords(sizes: { smallest: number; lasting: number } | null): string[] {
  if (sizes === null) return [];
  const { smallest, lasting } = sizes;
  return smallest === lasting
    ? [`In trials: ${smallest}.`]
    : [`In trials: ${smallest} at the fewest, and from ${lasting} on always.`];
}

/** How many listeners it takes, beside how many there are; `most` where the search for more ended. */
export function neededWords(needed: number | null, have: number, aim: string, most: string): string {
  if (needed === null) return `More than ${most} would be needed ${aim}.`;
  if (needed > have) return `${needed} listeners would be needed ${aim}.`;
  return `Enough ${aim}: ${needed} would do.`;
}

/** Who most likely ends undecided; those who can show nothing at all are left out. */
export const weakWarnings = (audiences: readonly FindsOfAudience[], what: string): string[] =>
  audiences.flatMap(({ name, power }) =>
    (power.find(({ smallest }) => smallest)?.percent ?? 100) >= 50
      ? []
      : [`${name}: most likely undecided at the end, even if the ${what} is the smallest worth finding.`],
  );
