import { readFile } from 'node:fs/promises';
import { ZodError } from 'zod';
import { recordSchema, type StudyRecord } from '../../shared/record';
import { problemsOf } from '../web/problems';
import { BadInput } from './command';

/** The one record that a command is about. @throws BadInput for none, for several, and for what is no record */
export async function recordFrom(positionals: readonly string[], command: string): Promise<StudyRecord> {
  const [file, ...more] = positionals;
  if (file === undefined || more.length > 0) {
    throw new BadInput({
      code: 'usage',
      message: `${command} needs the file of one record: ${command} RECORD.`,
      path: 'RECORD',
      allowed: 'one file',
      got: `${positionals.length} files`,
    });
  }
  return readRecord(file);
}

async function readRecord(file: string): Promise<StudyRecord> {
  const problem = (code: string, message: string, got?: string) =>
    new BadInput({
      code,
      message,
      path: 'RECORD',
      allowed: 'a record written by Fair Hearing',
      ...(got ? { got } : {}),
    });
  const text = await readFile(file, 'utf8').catch((error: NodeJS.ErrnoException) => {
    throw problem('unreadable', `${file} can't be read (${error.code}).`, file);
  });
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    throw problem('not-json', `${file} is not JSON.`, file);
  }
  const parsed = recordSchema.safeParse(raw);
  if (parsed.success) return parsed.data;
  const [first] = problemsOf(parsed.error, {}, raw);
  throw new BadInput({ ...(first ?? { code: 'not-a-record', message: `${file} is not a record.`, path: 'RECORD' }) });
}

/** Why nothing can be computed of a record that could be read; of an entry that isn't as it must be, with its field. */
export function notAnalysable(error: unknown): BadInput {
  const [issue] = error instanceof ZodError ? error.issues : [];
  const said = error instanceof Error && !(error instanceof ZodError) ? error.message : null;
  return new BadInput({
    code: 'not-analysable',
    message: issue
      ? `An entry of this record is not as it must be: “${issue.path.join('.')}”, ${issue.message.replace('Invalid input: ', '')}.`
      : (said ?? 'This record could not be analysed.'),
    path: 'RECORD',
    allowed: 'the record of a study that was unsealed',
  });
}
