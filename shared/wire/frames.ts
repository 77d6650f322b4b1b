import { z } from 'zod';
import { studyStates } from '../states';
import { deskWords } from '../words/desk';
import type { WordKey } from '../words/en';
import { csrf, formLength, oneOf, said, studyId, text, typed } from './pieces';

/** What stands around every page for phones and for the desk. */

/** What was wrong with the form that this page answers. */
const problems = z
  .array(
    z.strictObject({
      code: text(/^[a-z][a-z-]{1,30}$/),
      message: typed('form', formLength),
      path: typed('form', formLength),
      allowed: typed('form', formLength).optional(),
      got: typed('form', formLength).optional(),
      /** The id of the field on the page, or null when no field is at fault. */
      field: typed('form', formLength).nullable(),
    }),
  )
  .max(1100);

/** The phone shows no title of a study: it might tell. */
export const phoneFrame = (...titles: readonly WordKey[]) => ({ title: said(...titles), csrf, problems });

const tabs = ['plan', 'prepare', 'run', 'review', 'team'] as const;

/** The study that a page belongs to. Its title is the team's own, and so is the reason that makes it single blind. */
const studyHeader = z.strictObject({
  id: studyId,
  title: typed('team', 200),
  state: z.enum(studyStates),
  stateWords: oneOf('Draft', 'Locked', 'Running', 'Closed', 'Unsealed', 'Signed', 'Refused'),
  tab: z.enum(tabs),
  /** Which of its pages this person may look into. */
  open: z.strictObject({
    plan: z.boolean(),
    prepare: z.boolean(),
    run: z.boolean(),
    review: z.boolean(),
    team: z.boolean(),
  }),
  blindWarning: typed('team', 400).nullable(),
});

export const deskFrame = (...titles: readonly (keyof typeof deskWords)[]) => ({
  title: oneOf(...titles.map((title) => deskWords[title])),
  csrf,
  staff: z.strictObject({ name: typed('team', 200) }).nullable(),
  study: studyHeader.nullable(),
  /** After an action; the desk has none so far. */
  notice: text(/^(?!)/).nullable(),
  problems,
});
