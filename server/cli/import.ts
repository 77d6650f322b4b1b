import { readFile, writeFile } from 'node:fs/promises';
import { basename } from 'node:path';
import type { Plan } from '../../shared/plan';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { jsonIn } from './json-in';

/** `import ANSWERS --plan PLAN`: answers that were gathered elsewhere, as a record for `analyse` and `check`. */
export const importAnswers: Command = {
  name: 'import',
  summary: 'Makes a record of answers that were gathered elsewhere, from a CSV file and a plan',
  usage: 'ANSWERS.csv --plan PLAN.json [--record FILE] [--at TIME] | --template | --dictionary --plan PLAN.json',
  options: {
    plan: { type: 'string', summary: 'the plan that the answers were gathered by' },
    record: { type: 'string', summary: 'where the record is written; left out: standard output' },
    at: {
      type: 'string',
      summary: 'when it was brought, ISO 8601; left out: when the last answer was given, as the file has it',
    },
    template: { type: 'boolean', summary: 'writes an empty table with the headings for the plan, to fill in' },
    dictionary: { type: 'boolean', summary: 'writes every column that there may be, with what stands in it' },
  },
  async run({ positionals, options }, io) {
    if (typeof options.plan !== 'string') {
      throw new BadInput({
        code: 'missing-option',
        message: '--plan is missing: a file of answers says nothing of the question, the method and the scales.',
        path: '--plan',
        allowed: '--plan PLAN.json',
      });
    }
    const empty = options.template === true || options.dictionary === true;
    expectPositionals(positionals, empty ? [] : ['ANSWERS']);
    const plan = await planIn(options.plan, io);
    if (empty) {
      const { answersTemplate, templateDictionary } = await import('../import/template');
      io.stdout.write(options.template === true ? answersTemplate(plan) : templateDictionary(plan));
      return 0;
    }
    const file = positionals[0] ?? '';
    const { readAnswers } = await import('../import/read-answers');
    const { brought, problems } = readAnswers(await bytesOf(file), plan);
    if (!brought)
      throw new BadInput(
        problems[0] ?? { code: 'not-answers', message: `${file} holds no answers.`, path: 'ANSWERS' },
        problems,
      );
    const { importedRecord, latestIn } = await import('../import/imported-record');
    const { recordText } = await import('../blinding/record');
    const at = momentIn(options.at) ?? latestIn(brought);
    const text = recordText(importedRecord(brought, plan, { file: basename(file), at }));
    if (typeof options.record === 'string') await write(options.record, text);
    else io.stdout.write(text);
    return 0;
  },
};

async function planIn(file: string, io: Io): Promise<Plan> {
  const raw = await jsonIn(file, '--plan', 'a plan in JSON, see shared/formats/plan.schema.json', io);
  const { importablePlan } = await import('../plan/importable');
  const { plan, problems } = importablePlan(raw);
  if (plan) return plan;
  throw new BadInput(
    problems[0] ?? { code: 'not-a-plan', message: `${file} is not a plan.`, path: '--plan' },
    problems,
  );
}

async function bytesOf(file: string): Promise<Buffer> {
  return await readFile(file).catch((error: NodeJS.ErrnoException) => {
    throw new BadInput({
      code: 'unreadable',
      message: `${file} can't be read (${error.code}).`,
      path: 'ANSWERS',
      allowed: 'a table saved as CSV',
      got: file,
    });
  });
}

function momentIn(given: string | boolean | undefined): string | null {
  if (typeof given !== 'string') return null;
  const at = /^\d{4}-\d{2}-\d{2}/.test(given) ? Date.parse(given) : Number.NaN;
  if (!Number.isNaN(at)) return new Date(at).toISOString();
  throw new BadInput({
    code: 'bad-format',
    message: `--at is “${given}”, which is no moment.`,
    path: '--at',
    allowed: 'ISO 8601, such as 2026-03-02T09:15:00Z',
    got: given,
  });
}

async function write(file: string, text: string): Promise<void> {
  try {
    await writeFile(file, text);
  } catch (error) {
    throw new BadInput({
      code: 'unwritable',
      message: `${file} can't be written (${(error as NodeJS.ErrnoException).code ?? 'unknown'}).`,
      path: '--record',
      allowed: 'a file in a folder that there is',
      got: file,
    });
  }
}
