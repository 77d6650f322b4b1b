import type { ListenerId } from '../shared/brands';
import type { ListenersOf } from '../shared/findings-listeners';
import type { Plan } from '../shared/plan';
import { hitsByChance, stratifiedUpper, type YesCounts } from '../stats/stratified-yes';
import { groupBy } from './groups';
import { holm } from './holm';
import type { Outcome } from './protocol';
import { noteOf } from './right-by-listener';
import { type YesNoMethod, yesInAll, yesOfListeners } from './yes-no-counts';
import { distanceOf } from './yes-no-distance';

type Own = Omit<ListenersOf<'yes-no'>['listeners'][number], 'listener' | 'known'> & { listener: ListenerId };

/**
 * Yes and no of each listener: hits, false alarms, d′, leaning, whether yes falls on the one kind of trial oftener than by
 * chance (`stratifiedYes` over the listener's own sittings, corrected over listeners by Holm), and notes.
 *
 * Notes as in `rightByListener`, with the same test of no for answers the other way round, and `smallerOdds` between the
 * two kinds of trials for who is less apart than the others. How readily somebody says yes moves neither.
 *
 * Source: ISO 11132:2021 and ISO 8588:2017 (d′ and criterion), from memory; the rule of notes is ours.
 * @param outcomes of one audience, value 1 where the answer was yes
 * @returns listeners by id; panelP: `stratifiedYes` over all sittings, 1 where nothing tells
 */
export function yesByListener(
  method: YesNoMethod,
  outcomes: readonly Outcome[],
  plan: Plan,
  alpha: number,
): { panelP: number; told: boolean; listeners: Own[] } {
  const counted = yesOfListeners(method, outcomes, plan);
  const sittings = new Map<ListenerId, Outcome[][]>();
  for (const [listener, own] of groupBy(outcomes, ({ listener }) => listener)) {
    sittings.set(listener, [...groupBy(own, ({ sitting }) => sitting as string).values()]);
  }
  const strata = (listener: ListenerId): YesCounts[] =>
    (sittings.get(listener) ?? []).map((own) => yesInAll(yesOfListeners(method, own, plan)));
  const each = counted.map(({ listener }) => strata(listener));
  const all = yesInAll(counted);
  const panelP = stratifiedUpper(each.flat());
  const told = panelP <= alpha;
  const ps = each.map(stratifiedUpper);
  const adjusted = holm(ps);
  const turned = each.map((own) => stratifiedUpper(own.map(asNo)));
  const holmTurned = holm(turned);
  const smaller = holm(counted.map((one) => smallerOdds(one, less(all, one))));
  return {
    panelP,
    told,
    listeners: counted.map((one, i) => ({
      ...one,
      ...distance(method, one),
      p: ps[i] as number,
      pAdjusted: adjusted[i] as number,
      note:
        told && Math.min(holmTurned[i] as number, smaller[i] as number) <= alpha / 2
          ? noteOf(turned[i] as number, ps[i] as number)
          : null,
    })),
  };
}

/**
 * How likely so few hits or fewer are if the odds ratio between the two kinds of trials were the same in both tables:
 * exact, given how often yes was said in each and how many hits there were in all, so that readiness to say yes is each
 * one's own. One-sided.
 *
 * Source: Zelen (1971), "The analysis of several 2 × 2 contingency tables", Biometrika 58:129–137, from memory.
 */
export function smallerOdds(own: YesCounts, others: YesCounts): number {
  const weigh = ({ hits, signalTrials, falseAlarms, noiseTrials }: YesCounts) => {
    const yes = hits + falseAlarms;
    const chances = hitsByChance(signalTrials, noiseTrials, yes);
    const fewest = Math.max(0, yes - noiseTrials);
    return { from: fewest, to: fewest + chances.length - 1, at: (count: number) => chances[count - fewest] ?? 0 };
  };
  const [mine, theirs] = [weigh(own), weigh(others)];
  const sum = own.hits + others.hits;
  let [few, whole] = [0, 0];
  for (let hits = Math.max(mine.from, sum - theirs.to); hits <= Math.min(mine.to, sum - theirs.from); hits++) {
    const chance = mine.at(hits) * theirs.at(sum - hits);
    whole += chance;
    if (hits <= own.hits) few += chance;
  }
  return whole > 0 ? Math.min(1, few / whole) : 1;
}

const asNo = ({ hits, signalTrials, falseAlarms, noiseTrials }: YesCounts): YesCounts => ({
  hits: signalTrials - hits,
  signalTrials,
  falseAlarms: noiseTrials - falseAlarms,
  noiseTrials,
});

const less = (all: YesCounts, own: YesCounts): YesCounts => ({
  hits: all.hits - own.hits,
  signalTrials: all.signalTrials - own.signalTrials,
  falseAlarms: all.falseAlarms - own.falseAlarms,
  noiseTrials: all.noiseTrials - own.noiseTrials,
});

function distance(method: YesNoMethod, own: YesCounts): { dPrime: number | null; criterion: number | null } {
  if (own.signalTrials === 0 || own.noiseTrials === 0) return { dPrime: null, criterion: null };
  const { dPrime, criterion } = distanceOf(method, own);
  return { dPrime, criterion };
}
