import { binomialCdf, binomialPmf } from './distributions';

/** Listeners who answered equally often. */
export interface AnsweredAlike {
  listeners: number;
  trials: number;
}

/** How many listeners answered how often, fewest answers first; who never answered is left out. */
export function answeredAlike(trials: readonly number[]): AnsweredAlike[] {
  const groups = new Map<number, number>();
  for (const own of trials) if (own > 0) groups.set(own, (groups.get(own) ?? 0) + 1);
  return [...groups].map(([own, listeners]) => ({ trials: own, listeners })).sort((a, b) => a.trials - b.trials);
}

/**
 * P(X ≤ most): right answers of a panel of which each listener, with probability `share`, hears the difference always and
 * else guesses throughout.
 *
 * Who hears is always right, so given how many answers those who hear gave, w, the rest is binomial:
 * P(X ≤ most) = Σ P(w)·P(Bin(all − w, chance) ≤ most − w). All terms are positive, so small tails keep their digits.
 * For trusted callers: whole numbers, probabilities from 0 to 1.
 */
export function heardBySomeCdf(most: number, groups: readonly AnsweredAlike[], chance: number, share: number): number {
  const all = groups.reduce((sum, { listeners, trials }) => sum + listeners * trials, 0);
  if (most < 0) return 0;
  if (most >= all) return 1;
  // With one answer each all answers are right with the same chance.
  if (groups.every(({ trials }) => trials === 1)) return binomialCdf(most, all, chance + (1 - chance) * share);
  let sum = 0;
  for (const [heard, weight] of answersHeard(most, groups, share)) {
    sum += weight * binomialCdf(most - heard, all - heard, chance);
  }
  return Math.min(1, sum);
}

/** Panels that are tried beside the one of always and never. */
const tried = 12;

/**
 * P(X ≤ most) by the panel that comes oftenest to so few right answers while its average listener truly hears it in such
 * a share of trials: of those in which each listener hears it always, or else as rarely as all the others of that kind.
 *
 * The others mostly guess throughout. But few listeners who answer often come to counts with gaps between them, and then
 * there are worse panels: with three listeners of 40 answers, of whom the average hears 45 %, two in three of hearing it
 * now and then fill the gap. So several such panels are tried, down to the one in which all hear alike.
 * For trusted callers, as `heardBySomeCdf`.
 * @param enough nothing more is looked for once it is above this
 */
export function differsMostCdf(
  most: number,
  groups: readonly AnsweredAlike[],
  chance: number,
  share: number,
  enough = 1,
): number {
  let worst = heardBySomeCdf(most, groups, chance, share);
  if (share === 1 || !haveGaps(groups, chance)) return worst;
  for (let i = 1; i <= tried && worst <= enough; i++) {
    const rarely = (share * i) / tried;
    const always = (share - rarely) / (1 - rarely);
    worst = Math.max(worst, heardBySomeCdf(most, groups, chance + (1 - chance) * rarely, always));
  }
  return worst;
}

/**
 * Whether the answers of one listener are more than guesses of all would blur: twice their standard deviation. Up to
 * there no panel was found that is worse (of shares up to one half, at β up to 0.3). One answer each makes none.
 */
function haveGaps(groups: readonly AnsweredAlike[], chance: number): boolean {
  const all = groups.reduce((sum, { listeners, trials }) => sum + listeners * trials, 0);
  const most = Math.max(...groups.map(({ trials }) => trials));
  return most > 1 && most ** 2 > 4 * all * chance * (1 - chance);
}

/** How many answers come from listeners who hear, up to `most`, each with its probability. */
function answersHeard(most: number, groups: readonly AnsweredAlike[], share: number): Map<number, number> {
  let sums = new Map([[0, 1]]);
  for (const { listeners, trials } of groups) {
    const next = new Map<number, number>();
    for (let k = 0; k <= listeners && k * trials <= most; k++) {
      const weight = binomialPmf(k, listeners, share);
      if (weight === 0) continue;
      for (const [heard, before] of sums) {
        const at = heard + k * trials;
        if (at <= most) next.set(at, (next.get(at) ?? 0) + before * weight);
      }
    }
    sums = next;
  }
  return sums;
}
