import { stringify } from 'csv-stringify/sync';
import type { StudyStory, Told } from '../blinding/outcomes';

/** ANSWERS csv (RFC 4180): one row an answer, practice and void trials among them and marked. */

export const dictionary: readonly [column: string, meaning: string][] = [
  ['study', 'Name of the study'],
  ['audience', 'Name of the audience'],
  ['listener', 'Audience and order of joining; the alias stays on the server'],
  ['session', 'Number of the session, from 1'],
  ['sitting', 'Which of the listener’s own sittings, from 1'],
  ['trial', 'Number within the sitting, from 1; 0 is practice'],
  ['method', 'Id of the method'],
  ['presentation_1', 'Name of the prototype that was heard first'],
  ['presentation_2', 'Name of the prototype that was heard second'],
  ['unit_1', 'Serial of the unit that was heard first'],
  ['unit_2', 'Serial of the unit that was heard second'],
  ['code_1', 'Blinding code of the first sample'],
  ['code_2', 'Blinding code of the second sample'],
  ['position', 'Place of the trial in the order of the sitting'],
  ['excerpt', 'Piece of programme; empty where there is none'],
  [
    'exposure',
    'Trials that this listener had taken by then, over all sittings: practice, void ones and this one included',
  ],
  ['answer', 'Name of the preferred prototype, or none'],
  ['scale', 'What the value is measured on'],
  ['value', '1 the first was preferred, -1 the second, 0 none'],
  ['practice', '1 for the practice trial, never analysed'],
  ['void', 'Reason where a trial was voided, never analysed'],
  ['late', '1 past the time allowed; 0 where there is no limit'],
  ['flags', 'Marks on this answer'],
  ['heard_ms', 'From “it fits” to “heard”, last sample, by the phone’s monotonic clock'],
  ['answered_ms', 'From “it fits” to the answer, last sample, by the phone’s monotonic clock'],
  ['answered_at', 'When the server had it on disk, ISO 8601 in UTC'],
];

export function answersCsv(story: StudyStory, told: readonly Told[]): string {
  const { plan } = story;
  const prototype = (id: string | undefined) => plan.prototypes.find((one) => one.id === id)?.name ?? '';
  const serial = (id: string | undefined) =>
    plan.prototypes.flatMap((one) => one.units).find((unit) => unit.id === id)?.serial ?? '';
  const rows = told
    .filter(({ trial }) => trial.answer !== null)
    .map(({ sitting, trial, design, units, exposure }) => {
      const picked = trial.codes.indexOf(trial.answer ?? '');
      const audience = plan.audiences.find((one) => one.id === sitting.audience)?.name ?? '';
      return {
        study: plan.title,
        audience,
        listener: `${audience} ${sitting.ordinal}`,
        session: sitting.sessionNumber,
        sitting: sitting.number,
        trial: trial.ordinal,
        method: plan.method.id,
        presentation_1: prototype(design.presentations[0]),
        presentation_2: prototype(design.presentations[1]),
        unit_1: serial(units[0]),
        unit_2: serial(units[1]),
        code_1: trial.codes[0] ?? '',
        code_2: trial.codes[1] ?? '',
        position: trial.ordinal,
        excerpt: '',
        exposure,
        answer: picked < 0 ? 'none' : prototype(design.presentations[picked]),
        scale: 'preference',
        value: picked < 0 ? 0 : picked === 0 ? 1 : -1,
        practice: trial.practice ? 1 : 0,
        void: trial.state === 'void' ? (trial.voidReason ?? 'other') : '',
        late: 0,
        flags: '',
        heard_ms: trial.heardMs ?? '',
        answered_ms: trial.answeredMs ?? '',
        answered_at: trial.answeredAt ?? '',
      };
    });
  return csv(
    dictionary.map(([column]) => column),
    rows,
  );
}

export const dictionaryCsv = (): string =>
  csv(
    ['column', 'meaning'],
    dictionary.map(([column, meaning]) => ({ column, meaning })),
  );

/** A cell that a spreadsheet would take for a formula is defused. */
const csv = (columns: string[], rows: Record<string, unknown>[]): string =>
  stringify(rows, { header: true, columns, escape_formulas: true, record_delimiter: 'windows' });
