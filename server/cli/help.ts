import type { Command } from './command';

const caller = 'npm run -s fh --';

const exitCodes = `Exit codes: 0 done, or what was asked holds; 1 it does not hold; 2 bad input, with one line of JSON on
standard error and nothing on standard output; 70 a fault that is not in the input.`;

/** What `--help` says when no command is named. */
export function overview(commands: readonly Command[]): string {
  return [
    'Fair Hearing: blind listening tests and sensory panels on prototypes.',
    '',
    `Usage: ${caller} COMMAND`,
    '',
    ...columns(commands.map(({ name, summary }) => [name, summary])),
    '',
    `${caller} COMMAND --help says more about one of them.`,
    '',
    exitCodes,
    '',
  ].join('\n');
}

/** What `--help` says about one command. */
export function helpFor(command: Command): string {
  const options = Object.entries(command.options).map(([name, { type, summary }]): [string, string] => [
    type === 'string' ? `--${name} VALUE` : `--${name}`,
    summary,
  ]);
  return [
    `Usage: ${caller} ${command.name}${command.usage ? ` ${command.usage}` : ''}`,
    '',
    command.summary,
    '',
    ...columns([...options, ['--help', 'says this']]),
    '',
    exitCodes,
    '',
  ].join('\n');
}

function columns(rows: ReadonlyArray<readonly [string, string]>): string[] {
  const width = Math.max(...rows.map(([left]) => left.length)) + 2;
  return rows.map(([left, right]) => `  ${left.padEnd(width)}${right}`);
}
