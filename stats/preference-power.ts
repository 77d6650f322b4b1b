import { type Alternative, alternatives, choice, number, options, probability, seedOf, whole } from './check';
import { StatsError } from './errors';
import { simulatePreference } from './preference-panels';

export interface PreferencePowerInput {
  listeners: number;
  repeats?: number | undefined;
  share: number;
  gamma?: number | undefined;
  alpha?: number | undefined;
  alternative?: Alternative | undefined;
  panels?: number | undefined;
  seed?: number | string | undefined;
}

export interface PreferencePowerResult {
  power: number;
  standardError: number;
}

/**
 * How likely a panel is to show a preference of a given strength, counting listeners and not trials.
 *
 * Plays `panels` panels of virtual listeners and counts in how many the exact sign-flip test of the listeners' net
 * preferences is significant. Each listener has a taste of their own: a chance of preferring the first, drawn from the
 * beta distribution with mean `share` and γ = 1/(a + b + 1), 0 where all are alike, near 1 where everyone is sure of
 * opposite things. Assumes an answer in every trial. The same seed plays the same panels whatever the share, so powers of
 * several shares can be compared.
 *
 * @param input.listeners 1 to 2,000
 * @param input.repeats trials of this pair for each listener, 1 (default) to 100
 * @param input.share true share of preferences for the first, averaged over listeners, 0 … 1
 * @param input.gamma spread of listeners' own tastes, from 0 to below 1, by default 0.3 (an assumption of ours, not a
 *   measured value)
 * @param input.alpha by default 0.05
 * @param input.alternative `two-sided` (default), `greater`, `less`
 * @param input.panels 100 to 100,000, by default 2,000
 * @param input.seed 32 bits or a text, by default 1
 * @returns power: share of panels found significant, either way where two-sided; standardError of that share by the
 *   simulation, √(power(1 − power)/panels)
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice
 *
 * Accuracy: that of the simulation, as its standard error says: at most 0.011 with 2,000 panels.
 * Source: beta-binomial tastes (common practice for replicated answers); test as `signFlip`.
 *
 * @example
 * preferencePower({ listeners: 4, repeats: 3, share: 0.9 })
 * // { power: 0, standardError: 0 }
 */
export function preferencePower(input: PreferencePowerInput): PreferencePowerResult {
  options(input, ['listeners', 'repeats', 'share', 'gamma', 'alpha', 'alternative', 'panels', 'seed']);
  const listeners = whole(input.listeners, 'listeners', { min: 1, max: 2000 });
  const share = number(input.share, 'share', { min: 0, max: 1 });
  const design = panelDesign(input);
  const power = simulatePreference({ ...design, share }, listeners);
  return { power, standardError: Math.sqrt((power * (1 - power)) / design.panels) };
}

/** The options that power and size share, checked and with their defaults. */
export function panelDesign(input: Omit<PreferencePowerInput, 'listeners' | 'share'>) {
  return {
    repeats: whole(input.repeats ?? 1, 'repeats', { min: 1, max: 100 }),
    gamma: gammaOf(input.gamma ?? 0.3),
    alpha: probability(input.alpha ?? 0.05, 'alpha'),
    alternative: choice(input.alternative ?? 'two-sided', 'alternative', alternatives),
    panels: whole(input.panels ?? 2000, 'panels', { min: 100, max: 100_000 }),
    seed: seedOf(input.seed ?? 1),
  };
}

function gammaOf(value: number): number {
  const gamma = number(value, 'gamma', { min: 0, max: 1 });
  if (gamma < 1) return gamma;
  throw new StatsError('out-of-range', 'gamma', 'is out of range', 'a number from 0 to below 1', gamma);
}
