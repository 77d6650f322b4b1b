import { stringify } from 'csv-stringify/sync';
import { codesTell } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { Scored } from '../../protocols/protocol';
import type { TrialId } from '../../shared/brands';
import { type Plan, plays } from '../../shared/plan';
import { isAbout, rulesAgainst } from '../blinding/left-out';
import { afterDecision } from '../blinding/looks';
import { asScored, flagsOf, sentOf, type Told } from '../blinding/outcomes';
import type { StudyStory } from '../blinding/story';
import { toolVersion } from '../root';
import { answerNaming } from './answer-words';
import { answersIn, dictionaryOf, picksOf } from './answers-dictionary';
import { scalesOf } from './shown-scale';

/** ANSWERS csv (RFC 4180): one row an answer and scale, practice and void trials among them and marked. */
export function answersCsv(story: StudyStory, told: readonly Told[]): string {
  const { plan } = story;
  const after = afterDecision(story);
  return csv(
    dictionaryOf(plan).map(([column]) => column),
    told.filter(({ trial }) => sentOf(trial) !== null).flatMap((one) => rowsOf(one, story, after)),
  );
}

export const dictionaryCsv = (plan: Plan): string =>
  csv(
    ['column', 'meaning'],
    dictionaryOf(plan).map(([column, meaning]) => ({ column, meaning })),
  );

type Row = Record<string, string | number>;

/** Of all samples of a trial together; nothing where no player said anything. */
const soundedMs = (each: readonly number[]): number | '' =>
  each.length === 0 ? '' : Math.round(each.reduce((sum, one) => sum + one, 0));

/** One row a scale, or the one of an answer without scales. What no column is for is left out of the table. */
function rowsOf(one: Told, story: StudyStory, after: ReadonlySet<TrialId>): Row[] {
  const { plan } = story;
  const { sitting, trial, design, units, excerpt, exposures } = one;
  const audience = plan.audiences.find(({ id }) => id === sitting.audience)?.name ?? '';
  const prototype = (id: string | undefined) => plan.prototypes.find((known) => known.id === id)?.name ?? '';
  const serials = new Map(
    plan.prototypes.flatMap((known) => known.units.map(({ id, serial }) => [id, serial] as const)),
  );
  const shared: Row = {
    study: plan.title,
    audience,
    listener: `${audience} ${sitting.ordinal}`,
    session: sitting.sessionNumber,
    sitting: sitting.number,
    // Of answers that were brought nobody may know it.
    trial: trial.orderUntold ? '' : trial.ordinal,
    method: plan.method.id,
    position: trial.orderUntold ? '' : trial.ordinal,
    excerpt: plan.excerpts.find(({ id }) => id === excerpt)?.name ?? '',
    exposure: exposures.reduce((sum, own) => sum + own, 0),
    answer: answerOf(one, plan, prototype),
    picked: pickedIn(one, plan),
    practice: trial.practice ? 1 : 0,
    control: design.control ?? '',
    void: trial.state === 'void' ? (trial.voidReason ?? 'other') : '',
    heard_ms: plays(plan) ? soundedMs(trial.soundedMs) : (trial.heardMs ?? ''),
    output_rate: trial.outputRate ?? '',
    answered_ms: trial.answeredMs ?? '',
    started_at: trial.startedAt ?? '',
    answered_at: trial.answeredAt ?? '',
    entry: trial.answeredSeq ?? '',
    entry_hash: trial.answeredHash ?? '',
    plan_hash: story.planHash,
    tool: `Fair Hearing ${toolVersion}`,
  };
  trial.codes.forEach((code, place) => {
    shared[`presentation_${place + 1}`] = prototype(design.presentations[place]);
    shared[`unit_${place + 1}`] = serials.get(units[place] ?? '') ?? '';
    shared[`code_${place + 1}`] = code;
    shared[`heard_ms_${place + 1}`] = trial.soundedMs[place] ?? '';
    shared[`file_${place + 1}`] = trial.files[place] ?? '';
  });
  const { form } = methodOf(plan);
  return scoredOf(one, plan).map(({ scale, place, value, late, touchedMs }) => ({
    ...shared,
    ...(form.kind === 'grades' && place !== '' ? aboutOf(one, place - 1, plan, prototype) : {}),
    scale,
    place,
    value,
    late: late ? 1 : 0,
    flags: [
      ...flagsOf(sitting, trial),
      ...leftOutFlags(one, late, story),
      ...(after.has(trial.id) ? ['after-decision'] : []),
    ].join(' '),
    touched_ms: touchedMs ?? '',
  }));
}

/** The sample that a value is about. */
function aboutOf(
  { trial, design, units, exposures }: Told,
  place: number,
  plan: Plan,
  prototype: (id: string | undefined) => string,
): Row {
  const serial = plan.prototypes.flatMap((known) => known.units).find(({ id }) => id === units[place])?.serial ?? '';
  return {
    code: trial.codes[place] ?? '',
    prototype: prototype(design.presentations[place]),
    unit: serial,
    exposure: exposures[place] ?? '',
  };
}

/** Why a value that would count is left out of the analysis. */
function leftOutFlags({ sitting, trial }: Told, late: boolean, { plan, exclusions }: StudyStory): string[] {
  if (trial.practice || trial.state !== 'answered') return [];
  const flags = flagsOf(sitting, trial);
  const judged = { listener: sitting.listener, sitting: sitting.id, trial: trial.id, flags, late };
  const decided = new Set(exclusions.filter((one) => isAbout(one, judged)).map((one) => one.decided));
  return [
    ...(rulesAgainst(judged, plan).length > 0 ? ['excluded-by-rule'] : []),
    ...(decided.has('blind') ? ['excluded-blind'] : []),
    ...(decided.has('afterwards') ? ['excluded-afterwards'] : []),
  ];
}

interface Valued {
  scale: string;
  /** From 1; empty where the value is about no single sample. */
  place: number | '';
  value: number | string;
  late: boolean;
  touchedMs: number | null;
}

/** As the method scores it: the value that is analysed, by the name of its scale. */
function scoredOf({ trial, design, units }: Told, plan: Plan): Valued[] {
  const { protocol, form } = methodOf(plan);
  const sent = sentOf(trial);
  const answer = sent && protocol.read(form, trial.codes, sent);
  const scored: Scored[] = answer === null ? [] : protocol.score(form, asScored(design, units), answer, plan);
  return scored.map(({ scale, place, value, late }) => ({
    scale: scale === null ? answersIn(form).scale : nameOf(scale, plan),
    place: place === undefined ? '' : place + 1,
    value,
    late,
    touchedMs: sent && 'ratings' in sent ? (sent.ratings.find((own) => own.scale === scale)?.touchedMs ?? null) : null,
  }));
}

const nameOf = (scale: string, plan: Plan): string => scalesOf(plan).find(({ id }) => id === scale)?.name ?? scale;

/** The answer by names of prototypes; of ratings the value says it all. */
const answerOf = ({ trial, design }: Told, plan: Plan, prototype: (id: string | undefined) => string): string =>
  trial.answer === null
    ? ''
    : answerNaming(methodOf(plan).form, trial.answer, trial.codes, (place) => prototype(design.presentations[place]));

/** Places of what was named, from 1: of samples that are one and the same the name doesn't tell which. */
function pickedIn({ trial }: Told, plan: Plan): string {
  const { form } = methodOf(plan);
  if (trial.answer === null || !picksOf(form)) return '';
  if (codesTell(form)) return trial.answer;
  const choices = form.kind === 'pick-one' ? form.choices : [];
  const place = choices.find((one) => trial.codes[one] === trial.answer);
  return place === undefined ? '' : String(place + 1);
}

/** A cell that a spreadsheet would take for a formula is defused. */
const csv = (columns: string[], rows: Row[]): string =>
  stringify(rows, { header: true, columns, escape_formulas: true, record_delimiter: 'windows' });
