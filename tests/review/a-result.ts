import { comparedPlan } from '../../protocols/controls';
import { protocolOf } from '../../protocols/index';
import { analysePairedPreference } from '../../protocols/paired-preference-analysis';
import type { Outcome } from '../../protocols/protocol';
import { ratingsBySitting } from '../../protocols/ratings-by-sitting';
import type { Analysis, AudienceResult } from '../../protocols/results';
import { audienceVerdicts } from '../../server/review/audience-verdicts';
import { findingsOf } from '../../server/review/findings';
import { sentenceOf } from '../../server/review/sentence';
import type { AudienceVerdict } from '../../server/review/view-models';
import type { PrototypeId } from '../../shared/brands';
import type { Findings, HabituationFindings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { said } from '../protocols/simulated-study';
import { randomStudy, type Wish } from './random-study';

/** The result of a panel of which so many said each line. */
export function resultOf(plan: Plan, ...lines: [count: number, line: string][]): AudienceResult {
  const outcomes = lines.flatMap(([count, line], i) =>
    Array.from({ length: count }, (_, n) => said(`L${i}-${n}`, line)).flat(),
  );
  return analysePairedPreference(outcomes, plan, { resamples: 100 }).results[0] as AudienceResult;
}

export const findingsOfRandom = (plan: Plan, wish: Wish): Findings =>
  findingsOf(randomStudy(plan, wish).record, { resamples: 100 });

/** Text as a person reads it: what keeps figure and unit together on a line is a space. */
export const plain = <T>(value: T): T => JSON.parse(JSON.stringify(value).replaceAll('\u00a0', ' ')) as T;

const analyse = (plan: Plan, outcomes: readonly Outcome[]): Analysis =>
  protocolOf(plan.method.id).analyse(outcomes, comparedPlan(plan), { resamples: 200 });

/** What the findings of such outcomes say of audiences and of time; a listener is labelled by the id. */
export function shownOf(plan: Plan, outcomes: readonly Outcome[]): Pick<Findings, 'results' | 'panel' | 'habituation'> {
  const { results, decidedBy, habituation } = analyse(plan, outcomes);
  return {
    results: results.map(
      ({ primary, consistency, ...result }): Result => ({
        ...result,
        audienceName: plan.audiences.find(({ id }) => id === result.audience)?.name ?? '',
        method: plan.method.id,
        sentence: sentenceOf({ primary, consistency, ...result }, plan),
        decidedBy,
      }),
    ),
    panel: results.flatMap(({ audience, consistency }) =>
      consistency.map(({ listener, ...one }) => ({ listener, audience, ...one })),
    ),
    habituation:
      plan.method.id === 'first-impressions'
        ? habituation.map(
            (one): HabituationFindings => ({
              ...one,
              sittings: ratingsBySitting(
                outcomes.filter(({ audience }) => audience === one.audience),
                one.scale,
                plan.prototypes.map(({ id }) => id as PrototypeId),
              ),
            }),
          )
        : null,
  };
}

/** What the letter says of each audience, as a person reads it. */
export const letterOf = (plan: Plan, outcomes: readonly Outcome[]): AudienceVerdict[] =>
  plain(audienceVerdicts(shownOf(plan, outcomes), plan));
