import { pooledPlan } from '../../protocols/pooling';
import type { Findings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { amendmentNotes, amendmentRow } from '../amendment-words';
import { mishapWords } from '../mishap-words';
import { utcMinute } from '../time-words';
import { audienceVerdicts } from './audience-verdicts';
import { betweenAudiences } from './between';
import { controlsPart } from './controls/page';
import { findingsHash } from './findings';
import { firstPage } from './first-page';
import { flowRows } from './flow-rows';
import { flowSections } from './flow-section';
import { leftOutCautions, leftOutPart } from './left-out-part';
import { exposureTable, wordsOf } from './letter-parts';
import { listenersSections } from './listeners/sections';
import { looksTaken } from './looks/letter-part';
import { measuredSections } from './measured/sections';
import { methodParts } from './method-section';
import { overTimeCautions, overTimeSections } from './over-time/sections';
import { plannedDoneRows } from './planned-done-rows';
import { pooledPart } from './pooled-part';
import { priceStepsSections } from './price-steps/sections';
import { excerptTables } from './sound/excerpt-table';
import { soundCautions } from './sound/page';
import { tellCautions, tellsPart } from './tells/page';
import { unitEffectsSections } from './unit-effects/sections';
import type { AudienceVerdict, RatedSection, VerdictPage } from './view-models';
import { whoKnewPart } from './who-knew';

export type Letter = Pick<
  VerdictPage,
  | 'question'
  | 'first'
  | 'blind'
  | 'blindNotes'
  | 'whoKnew'
  | 'audiences'
  | 'pooled'
  | 'sections'
  | 'between'
  | 'amendments'
  | 'looksTaken'
  | 'flow'
  | 'flowSections'
  | 'plannedDone'
  | 'leftOut'
  | 'later'
  | 'dataPage'
  | 'tellCautions'
  | 'soundCautions'
  | 'excerpts'
  | 'tells'
  | 'controls'
  | 'exposures'
  | 'incidents'
  | 'words'
  | 'method'
  | 'computedFrom'
  | 'findingsHash'
>;

/** What stands beside the verdict of an audience: time, listeners, units, prices. */
const audienceSections = (found: Findings, audience: string, plan: Plan): RatedSection[] => {
  const own = <T extends { audience: string }>(parts: readonly T[] | undefined): T[] =>
    (parts ?? []).filter((one) => one.audience === audience);
  return [
    ...own(found.overTime).flatMap((one) => overTimeSections(one, plan, primaryHabituation(found, audience, plan))),
    ...own(found.listeners).flatMap((one) => listenersSections(one, plan)),
    ...own(found.unitEffects).flatMap((one) => unitEffectsSections(one, plan)),
    ...own(found.priceSteps).flatMap((one) => priceStepsSections(one, plan)),
  ];
};

const primaryHabituation = ({ habituation }: Findings, audience: string, plan: Plan) =>
  habituation?.find((one) => one.audience === audience && one.scale === plan.primary.scale) ?? null;

/** The findings as the printed letter shows them. */
export function letterOf(found: Findings, plan: Plan): Letter {
  // Whoever asked about all together as well asked one question more: names and corrections go by that.
  const asked = pooledPlan(plan);
  const withBeside = (audience: AudienceVerdict, result: Result): AudienceVerdict => {
    const turned = leftOutCautions(found, result, plan);
    const time = (found.overTime ?? []).filter((one) => one.audience === audience.id);
    // What time did to ratings is told once, in the section about all of it.
    const told = time.some(({ again }) => again !== null);
    return {
      ...audience,
      ...(told && audience.rating && { rating: { ...audience.rating, habituation: [] } }),
      turned,
      warnings: [...turned, ...time.flatMap(overTimeCautions), ...audience.warnings],
      sections: audienceSections(found, audience.id, asked),
    };
  };
  const pooled = pooledPart(found, plan);
  const parts = {
    question: plan.question,
    blind: found.blind.label,
    blindNotes: [...amendmentNotes(found), ...found.blind.notes],
    whoKnew: whoKnewPart(found),
    audiences: audienceVerdicts(found, asked).map((audience, i) => withBeside(audience, found.results[i] as Result)),
    pooled: pooled && {
      ...pooled,
      verdict: pooled.verdict && withBeside(pooled.verdict, found.pooled?.result as Result),
    },
    sections: found.exploratory.measured ? measuredSections(found.exploratory.measured, plan) : [],
    between: betweenAudiences(found, plan),
    amendments: found.amendments.map((one) => amendmentRow(plan, one)),
    looksTaken: looksTaken(found, plan),
    flow: flowRows(found, mishapWords),
    flowSections: flowSections(found, plan),
    plannedDone: plannedDoneRows(found, plan),
    leftOut: leftOutPart(found, plan),
    later: null,
    dataPage: null,
    tellCautions: tellCautions(found, plan),
    tells: tellsPart(found, plan),
    controls: controlsPart(found, plan),
    soundCautions: soundCautions(found, plan),
    excerpts: excerptTables(found, plan),
    exposures: exposureTable(found, plan),
    incidents: found.incidents.map(({ at, category, text, seat }) => ({
      at: utcMinute(at),
      category: mishapWords(category),
      text,
      seat: seat === null ? '–' : String(seat),
    })),
    words: wordsOf(found, plan),
    method: methodParts(found, plan),
    computedFrom: found.computedFrom,
    findingsHash: findingsHash(found),
  };
  return { first: firstPage(found, parts), ...parts };
}
