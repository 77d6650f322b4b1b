import type { Findings, Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { mishapWords } from '../mishap-words';
import { utcMinute } from '../time-words';
import { audienceVerdicts } from './audience-verdicts';
import { betweenAudiences } from './between';
import { findingsHash } from './findings';
import { flowRows } from './flow-rows';
import { leftOutCautions, leftOutPart } from './left-out-part';
import { exposureTable, methodRows, wordsOf } from './letter-parts';
import type { VerdictPage } from './view-models';

export type Letter = Pick<
  VerdictPage,
  | 'question'
  | 'blind'
  | 'blindNotes'
  | 'audiences'
  | 'between'
  | 'flow'
  | 'leftOut'
  | 'later'
  | 'exposures'
  | 'incidents'
  | 'words'
  | 'method'
  | 'computedFrom'
  | 'findingsHash'
>;

/** The findings as the printed letter shows them. */
export const letterOf = (found: Findings, plan: Plan): Letter => ({
  question: plan.question,
  blind: found.blind.label,
  blindNotes: found.blind.notes,
  audiences: audienceVerdicts(found, plan).map((audience, i) => ({
    ...audience,
    warnings: [...leftOutCautions(found, found.results[i] as Result, plan), ...audience.warnings],
  })),
  between: betweenAudiences(found, plan),
  flow: flowRows(found, mishapWords),
  leftOut: leftOutPart(found, plan),
  later: null,
  exposures: exposureTable(found, plan),
  incidents: found.incidents.map(({ at, category, text, seat }) => ({
    at: utcMinute(at),
    category: mishapWords(category),
    text,
    seat: seat === null ? '–' : String(seat),
  })),
  words: wordsOf(found, plan),
  method: methodRows(found, plan),
  computedFrom: found.computedFrom,
  findingsHash: findingsHash(found),
});
