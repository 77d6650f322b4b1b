import type { StaffFrame } from '../web/page';

/**
 * GET /studies/:id/answers: a file of answers that were gathered elsewhere becomes the study. Form with a file: POST
 * …/answers/upload {understood, file}. Beside it …/answers/template.csv and …/answers/dictionary.csv.
 */
export interface BringAnswersPage extends StaffFrame {
  base: string;
  /** Why nothing can be brought, and where to go; null where it can. */
  notNow: { words: string; open: string[] } | null;
  /** Columns that there must be, and those that the empty table has besides. */
  columns: { name: string; needed: boolean; meaning: string }[];
  fileError: string | null;
  understood: { checked: boolean; error: string | null };
  /** What is wrong with the file that came. */
  wrong: { row: string; column: string; what: string; allowed: string }[];
  /** Which file that was. */
  wrongFile: string | null;
}
