import { stringify } from 'csv-stringify/sync';
import type { Plan } from '../../shared/plan';
import { answerColumns } from './asked';

/** An empty table with the headings that a plan needs, and those that are usual; for answers on paper. */
export const answersTemplate = (plan: Plan): string =>
  csv([
    answerColumns(plan)
      .filter(({ offered }) => offered)
      .map(({ name }) => name),
  ]);

/** Every column that a file of answers to a plan may have, with what stands in it. */
export const templateDictionary = (plan: Plan): string =>
  csv([
    ['column', 'needed', 'meaning'],
    ...answerColumns(plan).map(({ name, needed, meaning }) => [name, needed ? 'yes' : 'no', meaning]),
  ]);

const csv = (rows: string[][]): string => stringify(rows, { escape_formulas: true, record_delimiter: 'windows' });
