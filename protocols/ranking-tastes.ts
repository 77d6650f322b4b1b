import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { Truth } from './protocol';
import type { Random } from './random';
import { normalVariate } from './virtual-listener';

/** What a virtual listener thinks each prototype worth, on the logit scale. */
export interface Worths {
  worth: Record<string, number>;
}

/** logistic(x) is nearly Φ(x/c) with c = 15π/(16√3) (Johnson & Kotz 1970, from memory). */
const logitVariance = ((15 * Math.PI) / (16 * Math.sqrt(3))) ** 2;

/** So much is everybody always of one mind. */
const mostGamma = 0.95;

/**
 * The standard deviation of listeners' own log worths that makes shares of a pair as uneven over listeners as a
 * beta-binomial of that overdispersion γ, for two prototypes that are liked alike on average.
 *
 * A share is logistic(d) with d normal of variance τ² = 2·sd²; as a probit its variance is asin(ρ)/2π with ρ = τ²/(τ² +
 * c²), and a beta's is γ/4. So ρ = sin(πγ/2). γ counts up to 0.95.
 */
export function tasteSd(gamma: number): number {
  const rho = Math.sin((Math.PI / 2) * Math.min(gamma, mostGamma));
  return Math.sqrt((logitVariance * rho) / (1 - rho) / 2);
}

/** By how much log worths are stretched so that, with such tastes, the panel's share for one of two stays what it was. */
export const stretch = (sd: number): number => Math.sqrt(1 + (2 * sd * sd) / logitVariance);

/**
 * Draws a listener's own worths: those of the panel, and a taste for each prototype of its own. `worth` is what the
 * panel's shares are: of two with log worths a and b the first is preferred in 1/(1 + e^(b − a)) of all answers,
 * whatever the spread γ of tastes. `interactionSd` is a further spread, on the logit scale.
 */
export function drawnWorths(truth: Truth, plan: Plan, random: Random): Worths {
  const sd = tasteSd(truth.gamma ?? 0);
  const spread = Math.hypot(sd, truth.interactionSd ?? 0);
  const worth: Record<string, number> = {};
  for (const { id } of plan.prototypes) {
    const mean = (truth.worth?.[id] ?? 0) * stretch(sd);
    worth[id] = spread > 0 ? mean + spread * normalVariate(random) : mean;
  }
  return { worth };
}

/**
 * An order by choosing the best of what is left, one after the other, with chances in proportion to e^worth (Plackett
 * 1975, Applied Statistics 24:193–202; Luce 1959). The first sample that was heard is pulled ahead by `positionBias`.
 * @returns places in the list of presentations, from 0, the best first
 */
export function drawnOrder(
  truth: Truth,
  { worth }: Worths,
  presentations: readonly PrototypeId[],
  random: Random,
): number[] {
  const strengths = presentations.map((id, place) =>
    Math.exp((worth[id] ?? 0) + (place === 0 ? (truth.positionBias ?? 0) : 0)),
  );
  const left = presentations.map((_, place) => place);
  const order: number[] = [];
  while (left.length > 1) {
    const total = left.reduce((sum, place) => sum + (strengths[place] as number), 0);
    let point = random.uniform() * total;
    let at = 0;
    while (at < left.length - 1) {
      point -= strengths[left[at] as number] as number;
      if (point < 0) break;
      at++;
    }
    order.push(...left.splice(at, 1));
  }
  return [...order, ...left];
}
