import type { Problem } from '../../shared/problem';

export interface Io {
  stdin: NodeJS.ReadableStream;
  stdout: NodeJS.WritableStream;
  stderr: NodeJS.WritableStream;
}

/** One command of the command line: what help says of it, the options it takes, and what it does. */
export interface Command {
  name: string;
  /** One line without a full stop, for the list of all commands. */
  summary: string;
  /** What follows the name: `FILE [--json]`. */
  usage: string;
  options: Record<string, { type: 'string' | 'boolean'; summary: string }>;
  /** Answers with the exit code: 0 done or holds, 1 does not hold. Bad input is thrown as BadInput. */
  run(args: { positionals: string[]; options: Record<string, string | boolean | undefined> }, io: Io): Promise<number>;
}

/** Thrown before anything is written to standard output; the frame turns it into one line of JSON and exit code 2. */
export class BadInput extends Error {
  /** @param problems all of them, where there are several; the first is what is said */
  constructor(
    readonly problem: Problem,
    readonly problems: readonly Problem[] = [],
  ) {
    super(problem.message);
    this.name = 'BadInput';
  }
}
