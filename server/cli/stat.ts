import { createInterface } from 'node:readline';
import type { Problem } from '../../shared/problem';
import { inputSchema, type StatCall, StatsError, statCalls } from '../../stats/index';
import { nearestOf } from '../../stats/nearest-name';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';

export const stat: Command = {
  name: 'stat',
  summary: 'Computes one figure of the statistics catalogue: JSON in, JSON out',
  usage: 'NAME [--schema] | --list | --batch',
  options: {
    list: { type: 'boolean', summary: 'every name, one line each' },
    schema: { type: 'boolean', summary: 'prints the JSON Schema of the input of NAME' },
    batch: { type: 'boolean', summary: 'reads lines {"call","input"}, writes a line {"output"} or {"error"} for each' },
  },
  async run({ positionals, options }, io) {
    if (options.list || options.batch) expectPositionals(positionals, []);
    onlyOne(options);
    if (options.list) return print(io, list());
    if (options.batch) return await batch(io);
    expectPositionals(positionals, ['NAME']);
    const called = find(positionals[0] ?? '', 'NAME');
    if (options.schema) return print(io, JSON.stringify(inputSchema(called), null, 2));
    return print(io, JSON.stringify(compute(called, parse(await everything(io)))));
  },
};

function onlyOne(options: Record<string, string | boolean | undefined>): void {
  const given = ['list', 'schema', 'batch'].filter((name) => options[name] === true);
  if (given.length < 2) return;
  const got = given.map((name) => `--${name}`).join(' ');
  const allowed = 'one of --list, --schema, --batch';
  throw new BadInput({ code: 'inconsistent', message: `${got}: give one of them.`, path: got, allowed, got });
}

async function print(io: Io, text: string): Promise<number> {
  // A pipe that is full says no: wait for it, so that a long batch doesn't pile up in memory.
  if (!io.stdout.write(`${text}\n`)) await new Promise((resolve) => io.stdout.once('drain', resolve));
  return 0;
}

function list(): string {
  const width = Math.max(...statCalls.map(({ name }) => name.length));
  return statCalls.map(({ name, summary }) => `${name.padEnd(width)}  ${summary}`).join('\n');
}

function find(name: string, path: string): StatCall {
  const names = statCalls.map((one) => one.name);
  const called = statCalls.find((one) => one.name === name);
  if (called) return called;
  const message = `There is no call "${name}". The nearest is "${nearestOf(name, names)?.name}".`;
  throw new BadInput({ code: 'unknown-call', message, path, allowed: names.join(', '), got: name });
}

function compute(called: StatCall, input: unknown): unknown {
  try {
    return called.run(input);
  } catch (error) {
    if (!(error instanceof StatsError)) throw error;
    const { code, message, path, allowed, got } = error;
    throw new BadInput({ code, message, path, allowed, got });
  }
}

async function everything(io: Io): Promise<string> {
  const chunks: Buffer[] = [];
  for await (const chunk of io.stdin) chunks.push(Buffer.from(chunk));
  return Buffer.concat(chunks).toString('utf8');
}

function parse(text: string): unknown {
  try {
    // Some shells put a byte order mark before what they pipe.
    return JSON.parse(text.replace(/^\uFEFF/, ''));
  } catch (error) {
    const why = error instanceof Error ? error.message : 'not readable';
    const got = text.trim() === '' ? 'nothing' : text.trim().slice(0, 80);
    const allowed = 'one JSON value';
    throw new BadInput({ code: 'not-json', message: `The input is no JSON: ${why}.`, path: '', allowed, got });
  }
}

/** One process for many calls: a line that can't be answered gets its error and the next one is read. */
async function batch(io: Io): Promise<number> {
  for await (const line of createInterface({ input: io.stdin, crlfDelay: Number.POSITIVE_INFINITY })) {
    if (line.trim() !== '') await print(io, JSON.stringify(answer(line)));
  }
  return 0;
}

function answer(line: string): { output: unknown } | { error: Problem } {
  try {
    const asked = parse(line);
    if (typeof asked !== 'object' || asked === null || !('call' in asked) || typeof asked.call !== 'string') {
      const message = 'A line needs "call", the name of a call, and "input".';
      throw new BadInput({
        code: 'missing',
        message,
        path: 'call',
        allowed: '{"call","input"}',
        got: line.slice(0, 80),
      });
    }
    return { output: compute(find(asked.call, 'call'), 'input' in asked ? asked.input : undefined) };
  } catch (error) {
    if (error instanceof BadInput) return { error: error.problem };
    throw error;
  }
}
