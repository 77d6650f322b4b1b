import type { StudyId } from '../../shared/brands';
import type { Problem } from '../../shared/problem';
import type { StudyState } from '../../shared/states';

/** What every page for staff has around its own part. */
export interface StaffFrame {
  title: string;
  csrf: string;
  staff: { name: string } | null;
  /** The study that the page belongs to, with its four moments as tabs; null on pages outside a study. */
  study: StudyHeader | null;
  /** One line after an action ("Saved."), or null. Never about a sample. */
  notice: string | null;
  /** Problems of the form that was sent, for a summary on top that links to the fields. */
  problems: ProblemLine[];
}

type StudyTab = 'plan' | 'prepare' | 'run' | 'review';

export interface StudyHeader {
  id: StudyId;
  title: string;
  state: StudyState;
  /** In plain words: "Draft", "Locked", "Running" … */
  stateWords: string;
  tab: StudyTab | 'team';
  /** Which of its pages this person may look into. */
  open: Record<StudyTab | 'team', boolean>;
  /** The sentence that every page shows when a study is not double blind, or null. */
  blindWarning: string | null;
}

export interface ProblemLine extends Problem {
  /** The id of the field on the page, or null when no field is at fault. */
  field: string | null;
}

/** What every page for listeners has around its own part. The phone shows no study title: it might tell. */
export interface PhoneFrame {
  title: string;
  csrf: string;
  problems: ProblemLine[];
}

/** A text field as a form shows it: what was typed, and what was wrong with it. */
export interface Field<Name extends string = string> {
  id: Name;
  name: Name;
  value: string;
  error: string | null;
}
