import { readFile } from 'node:fs/promises';
import { recordSchema, type StudyRecord } from '../../shared/record';
import { findingsOf } from '../review/findings';
import { problemsOf } from '../web/problems';
import { BadInput, type Command } from './command';

/** `analyse RECORD`: the findings of a record, from the file alone. The same record gives the same bytes. */
export const analyse: Command = {
  name: 'analyse',
  summary: 'Computes the findings from a record',
  usage: 'RECORD',
  options: {},
  async run({ positionals }, io) {
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0) {
      throw new BadInput({
        code: 'usage',
        message: 'analyse needs the file of one record: analyse RECORD.',
        path: 'RECORD',
        allowed: 'one file',
        got: `${positionals.length} files`,
      });
    }
    const record = await readRecord(file);
    let findings: ReturnType<typeof findingsOf>;
    try {
      findings = findingsOf(record);
    } catch (error) {
      throw new BadInput({
        code: 'not-analysable',
        message: error instanceof Error ? error.message : 'This record could not be analysed.',
        path: 'RECORD',
        allowed: 'the record of a study that was unsealed',
      });
    }
    io.stdout.write(`${JSON.stringify(findings, null, 1)}\n`);
    return 0;
  },
};

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
