import { protocolOf } from '../../protocols/index';
import type { Findings, Result } from '../../shared/findings';
import type { OtherResult } from '../../shared/findings-exclusions';
import type { ExclusionRule, Plan } from '../../shared/plan';
import { verdictWordsIn } from '../../shared/words/en';
import { chosenPercent, decimals, percentBeside } from '../number-words';
import { exclusionRuleWords, turningShares } from '../plan-words';
import { utcMinute } from '../time-words';
import { nameIn } from './plan-names';
import { measureOf } from './rating/measure';
import type { LeftOutPart } from './view-models';

/** What was left out, and the verdict both ways; null where nothing was. */
export function leftOutPart(
  { exclusions, results: each, pooled }: Pick<Findings, 'exclusions' | 'results' | 'pooled'>,
  plan: Plan,
): LeftOutPart | null {
  const { list, without, afterwards } = exclusions;
  if (list.length === 0) return null;
  const results = [...each, ...(pooled?.result ? [pooled.result] : [])];
  const row = (result: Result, analysis: string, other: Shown | undefined, decides: boolean) =>
    other === undefined ? [] : [{ audience: result.audienceName, analysis, decides, ...shown(other, plan) }];
  return {
    rows: list.map((one) => ({
      what: whatWords(one),
      why: one.what === 'rule' ? 'Rule of the plan' : one.reason,
      decided: decidedWords(one),
      afterwards: one.decided === 'afterwards',
      trials: one.trials,
    })),
    measure: measureWords(plan),
    results: ((without ?? afterwards) ? results : []).flatMap((result) => [
      ...row(result, 'As planned: the verdict', result, true),
      ...row(result, 'With nothing left out', of(without, result), false),
      ...row(result, 'And without what was left out afterwards', of(afterwards, result), false),
    ]),
  };
}

/** For the first part of an audience's section: where what was left out turns the verdict. */
export function leftOutCautions({ exclusions }: Pick<Findings, 'exclusions'>, result: Result, plan: Plan): string[] {
  const turned = (other: OtherResult | undefined): other is OtherResult =>
    other !== undefined && (other.verdict !== result.verdict || side(other, plan) !== side(result, plan));
  const words = (other: OtherResult) => `“${verdictOf(other, plan)}”`;
  const [without, afterwards] = [of(exclusions.without, result), of(exclusions.afterwards, result)];
  return [
    ...(turned(without)
      ? [`Had nothing been left out, the verdict would be ${words(without)}: see “What was left out”.`]
      : []),
    ...(turned(afterwards)
      ? [
          `With what was left out after unsealing the verdict would be ${words(afterwards)}. That was decided with the verdict in sight, so it doesn’t count: see “What was left out”.`,
        ]
      : []),
  ];
}

type Shown = Pick<OtherResult, 'verdict' | 'estimate' | 'n'>;

const of = (results: readonly OtherResult[] | null, { audience }: Result): OtherResult | undefined =>
  results?.find((one) => one.audience === audience);

const verdictOf = ({ verdict }: Shown, plan: Plan): string =>
  verdictWordsIn(protocolOf(plan.method.id).family, verdict).short;

/** Which of the two a verdict that names one is for. */
function side({ verdict, estimate }: Shown, plan: Plan): number {
  if (estimate === null || (verdict !== 'preferred' && verdict !== 'difference-shown')) return 0;
  return Math.sign(estimate.value - (plan.risks.smallest.kind === 'share' ? 0.5 : 0));
}

const shown = (other: Shown, plan: Plan): { verdict: string; estimate: string; trials: number } => ({
  verdict: verdictOf(other, plan),
  estimate: estimateWords(other.estimate, plan),
  trials: other.n.trials,
});

/** The estimate that a verdict rests on, with its interval, in the unit of the plan's smallest effect. */
export function estimateWords(estimate: Shown['estimate'], plan: Plan): string {
  if (estimate === null) return '–';
  const { kind } = plan.risks.smallest;
  const words = (value: number): string => {
    if (kind === 'd-prime') return decimals(value);
    return kind === 'points' || kind === 'ticked'
      ? measureOf(plan).value(value)
      : percentBeside(value, turningShares(plan));
  };
  return `${words(estimate.value)} (${chosenPercent(estimate.level)}: ${words(estimate.lower)} to ${words(estimate.upper)})`;
}

/** What the estimates are of. */
export function measureWords(plan: Plan): string {
  const [first, second] = [nameIn(plan)(plan.primary.first), nameIn(plan)(plan.primary.second)];
  switch (plan.risks.smallest.kind) {
    case 'share':
      return plan.method.id === 'ranking'
        ? `share of rankings with ${first} before ${second}`
        : `share of choices for ${first} against ${second}`;
    case 'heard':
      return 'share of trials in which the difference was truly heard';
    case 'd-prime':
      return 'distance of the two to the ear, d′';
    case 'ticked':
    case 'points': {
      const { scale, unit } = measureOf(plan);
      return scale.shape === 'ticked'
        ? `share of listeners who tick “${scale.name}” for ${first}, less that for ${second}, in ${unit}`
        : `${first} less ${second} on the scale “${scale.name}”, in ${unit}`;
    }
  }
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

function whatWords({ what, reason, listener, session, trial }: Findings['exclusions']['list'][number]): string {
  if (what === 'rule') return capital(exclusionRuleWords[reason as ExclusionRule].noun);
  const where = [listener ?? 'Somebody who never sat', ...(session === null ? [] : [`session ${session}`])];
  return [...where, ...(trial === null ? [] : [`trial ${trial}`]), ...(what === 'listener' ? ['everything'] : [])].join(
    ', ',
  );
}

function decidedWords({ decided, by, at }: Findings['exclusions']['list'][number]): string {
  const who = `${by ?? ''}, ${utcMinute(at ?? '')}`;
  if (decided === 'rule') return by === null ? 'When the plan was locked' : `By an amendment: ${who}`;
  return decided === 'blind'
    ? `By code, before unsealing: ${who}`
    : `After unsealing, with the verdict in sight: ${who}`;
}
