import { comparedIn } from '../../../protocols/controls';
import type { Findings, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { decimals, percent, percentBeside } from '../../number-words';
import { turningShares } from '../../plan-words';
import { pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import type { PreferencePart } from '../view-models';
import { scoresNote } from './cautions';
import { preferenceChart } from './chart';
import { otherRuleNote } from './figures';

/** What a preference has beside the figures of every verdict: the pairs, the scores, and how steady listeners were. */
export function preferencePart(result: Result, findings: Pick<Findings, 'panel'>, plan: Plan): PreferencePart {
  return {
    chart: preferenceChart(result, plan),
    pairs: pairRows(result, plan),
    scores:
      result.scores?.scores
        .toSorted((a, b) => b.logWorth - a.logWorth)
        .map(({ prototype, logWorth, lower, upper }) => ({
          ...markedIn(plan)(prototype),
          score: decimals(logWorth),
          interval: lower === null || upper === null ? '–' : `${decimals(lower)} to ${decimals(upper)}`,
        })) ?? [],
    scoresNote: scoresNote(result, plan),
    consistency: findings.panel
      .filter((one) => one.audience === result.audience)
      .map((one) => ({ listener: one.listener, repeated: repeatedWords(one), triads: triadWords(one, plan) })),
    otherRule: otherRuleNote(result, plan),
  };
}

function pairRows(result: Result, plan: Plan): PreferencePart['pairs'] {
  const name = nameIn(plan);
  const share = (value: number) => percentBeside(value, turningShares(plan));
  return result.pairs.map((pair) => ({
    names: `${name(pair.first)} against ${name(pair.second)}`,
    share: pair.share ? share(pair.share.value) : '–',
    interval: pair.share ? `${share(pair.share.lower)} to ${share(pair.share.upper)}` : '–',
    p: pWords(pair.p),
    pAdjusted: pWords(pair.pAdjusted),
    counts: `${pair.wins} : ${pair.losses}${pair.none > 0 ? `, none ${pair.none}` : ''}`,
    pooled: pWords(pair.pooled.p),
    primary: pair.primary,
    separated: result.looks && pair.primary ? 'the bound decides' : toldApart(pair, plan),
  }));
}

function toldApart(pair: Result['pairs'][number], plan: Plan): string {
  if (pair.pAdjusted === null) return 'no data';
  if (pair.share === null) return 'too few';
  if (pair.pAdjusted > plan.risks.alpha) return 'no';
  return `yes: ${nameIn(plan)(pair.share.value > 0.5 ? pair.first : pair.second)}`;
}

type Steadiness = Findings['panel'][number];

function repeatedWords({ repeatedPairs, repeatedAlike }: Steadiness): string {
  if (repeatedPairs === 0) return 'no pair was decided twice';
  if (repeatedPairs === 1) return repeatedAlike === 1 ? 'the same each time' : 'not the same each time';
  return `${repeatedAlike} of ${repeatedPairs} pairs the same each time`;
}

function triadWords({ circularTriads }: Steadiness, plan: Plan): string {
  if (!circularTriads) {
    return comparedIn(plan).length < 3 ? 'two prototypes have none' : 'not for every pair a preference';
  }
  const { triads, maximum, p } = circularTriads;
  return `${triads} of at most ${maximum} (by chance, ${percent(p)} have so few)`;
}
