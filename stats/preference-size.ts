import { number, options, probability } from './check';
import { StatsError } from './errors';
import { simulatePreference } from './preference-panels';
import { type PreferencePowerInput, panelDesign } from './preference-power';

export interface PreferenceSizeInput extends Omit<PreferencePowerInput, 'listeners'> {
  beta?: number | undefined;
}

export interface PreferenceSizeResult {
  listeners: number | null;
  power: number;
}

/** No larger panel is looked for. */
export const mostListeners = 400;
const everySizeUpTo = 30;
const back = 4;

/**
 * How many listeners a panel needs to show a preference of a given strength.
 *
 * The fewest whose simulated power (see `preferencePower`) reaches 1 − beta. Every size up to 30 is tried; beyond it, the
 * interval is halved and the four sizes below the result are tried too, since exact power is saw-toothed.
 *
 * @param input.beta risk of missing the preference, between 0 and 1, by default 0.2
 * @param input.share true share of preferences for the first, not ½
 * @param input.repeats, gamma, alpha, alternative, panels, seed as in `preferencePower`
 * @returns listeners, and their power; listeners is `null` where 400 don't reach it, power then being that of 400
 * @throws StatsError as `preferencePower`; inconsistent where the share lies on the side that is not tested
 *
 * Accuracy: that of the simulation: the power stated has a standard error of about √(beta(1 − beta)/panels).
 * Source: as `preferencePower`.
 *
 * @example
 * preferenceSize({ repeats: 1, share: 1, gamma: 0, beta: 0.2 })
 * // { listeners: 6, power: 1 }
 */
export function preferenceSize(input: PreferenceSizeInput): PreferenceSizeResult {
  options(input, ['repeats', 'share', 'gamma', 'alpha', 'beta', 'alternative', 'panels', 'seed']);
  const share = number(input.share, 'share', { min: 0, max: 1 });
  const beta = probability(input.beta ?? 0.2, 'beta');
  const design = { ...panelDesign(input), share };
  const side = { greater: share > 0.5, less: share < 0.5, 'two-sided': share !== 0.5 }[design.alternative];
  if (!side) {
    const allowed = 'a share that differs from 0.5 on the side tested';
    throw new StatsError(
      'inconsistent',
      'share',
      'gives no preference that this alternative could find',
      allowed,
      share,
    );
  }

  const powers = new Map<number, number>();
  const powerOf = (listeners: number) => {
    const power = powers.get(listeners) ?? simulatePreference(design, listeners);
    powers.set(listeners, power);
    return power;
  };
  const reached = (listeners: number) => powerOf(listeners) >= 1 - beta;
  for (let n = 1; n <= everySizeUpTo; n++) if (reached(n)) return { listeners: n, power: powerOf(n) };
  let short = everySizeUpTo;
  let enough = short * 2;
  while (!reached(enough)) {
    if (enough === mostListeners) return { listeners: null, power: powerOf(enough) };
    short = enough;
    enough = Math.min(mostListeners, enough * 2);
  }
  while (enough - short > 1) {
    const middle = Math.floor((short + enough) / 2);
    if (reached(middle)) enough = middle;
    else short = middle;
  }
  for (let n = enough - back; n < enough; n++) if (reached(n)) return { listeners: n, power: powerOf(n) };
  return { listeners: enough, power: powerOf(enough) };
}
