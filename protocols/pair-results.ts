import type { ListenerId, PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { pairedPreference as pooledPreference } from '../stats/paired-preference';
import { signFlip } from '../stats/sign-flip';
import { allPairs } from './balanced-pairs';
import type { Outcome } from './protocol';
import type { PairResult } from './results';

/** What one listener said of one pair, as seen from its `first` prototype. */
interface Tally {
  wins: number;
  losses: number;
  none: number;
}

type Rule = Plan['noPreference']['rule'];

/**
 * What one audience said of each pair: shares with the listener as the unit, sign-flip p uncorrected, pooled counts.
 * @param outcomes scored answers of one audience
 * @returns the primary pair first, as the plan puts it; then the others in the order of the plan
 */
export function pairResults(outcomes: readonly Outcome[], plan: Plan): PairResult[] {
  const ids = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const primary: [PrototypeId, PrototypeId] = [plan.primary.first as PrototypeId, plan.primary.second as PrototypeId];
  const others = allPairs(ids.length)
    .map(([a, b]): [PrototypeId, PrototypeId] => [ids[a] as PrototypeId, ids[b] as PrototypeId])
    .filter((pair) => !pair.every((id) => primary.includes(id)));
  return [primary, ...others].map(([first, second], index) => pairResult(outcomes, first, second, index === 0, plan));
}

function pairResult(
  outcomes: readonly Outcome[],
  first: PrototypeId,
  second: PrototypeId,
  primary: boolean,
  plan: Plan,
): PairResult {
  const tallies = talliesOf(outcomes, first, second);
  const total = (key: 'wins' | 'losses' | 'none') => tallies.reduce((sum, tally) => sum + tally[key], 0);
  const [wins, losses, none] = [total('wins'), total('losses'), total('none')];
  const { rule } = plan.noPreference;
  const oneSided = primary && plan.risks.sides === 'one-sided';
  const counted = countedBy(rule, tallies);
  const pooled =
    usedTrials(rule, wins, losses, none) > 0
      ? pooledPreference({ first: wins, second: losses, none, noneRule: rule })
      : null;
  return {
    first,
    second,
    primary,
    share: shareOf(counted, 1 - plan.risks.alpha),
    p: testOf(counted, oneSided),
    pAdjusted: null,
    listeners: counted.length,
    trials: wins + losses + none,
    wins,
    losses,
    none,
    pooled: { share: pooled?.share ?? null, p: pooled?.p ?? null, trialsUsed: pooled?.trialsUsed ?? 0 },
  };
}

/** One tally a listener, for whoever was asked about this pair. */
export function talliesOf(outcomes: readonly Outcome[], first: PrototypeId, second: PrototypeId): Tally[] {
  const byListener = new Map<ListenerId, Tally>();
  for (const outcome of outcomes) {
    const [a, b] = outcome.prototypes;
    const straight = a === first && b === second;
    if (!straight && !(a === second && b === first)) continue;
    const tally = byListener.get(outcome.listener) ?? { wins: 0, losses: 0, none: 0 };
    if (outcome.value === 0) tally.none++;
    else if (outcome.value > 0 === straight) tally.wins++;
    else tally.losses++;
    byListener.set(outcome.listener, tally);
  }
  // By what was said, so that names and order of arrival move no digit.
  return [...byListener.values()].sort((a, b) => a.wins - b.wins || a.losses - b.losses || a.none - b.none);
}

const usedTrials = (rule: Rule, wins: number, losses: number, none: number): number =>
  rule === 'split' ? wins + losses + none : wins + losses;

/** Each listener's share of preferences for the first; whoever has none left to count falls out. */
export function countedBy(rule: Rule, tallies: readonly Tally[]): { share: number; trials: number }[] {
  return tallies.flatMap(({ wins, losses, none }) => {
    const trials = usedTrials(rule, wins, losses, none);
    return trials === 0 ? [] : [{ share: (wins + (rule === 'split' ? none / 2 : 0)) / trials, trials }];
  });
}

function shareOf(counted: readonly { share: number; trials: number }[], level: number) {
  if (counted.length < 2) return null;
  const { share, lower, upper } = clusteredShareInterval({ listeners: [...counted], level });
  return { name: 'share', value: share, lower, upper, level };
}

/** Sign-flip p over listeners' net preferences; null without listeners. */
export function testOf(counted: readonly { share: number }[], oneSided: boolean): number | null {
  const nets = counted.map(({ share }) => 2 * share - 1);
  if (nets.length === 0) return null;
  return signFlip({ perListener: nets, alternative: oneSided ? 'greater' : 'two-sided', seed: 1 }).p;
}
