import { nearestOf } from '../../stats/nearest-name';
import { toolVersion } from '../root';
import { readArguments } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { commands } from './commands';
import { helpFor, overview } from './help';

/** Runs one command line and answers with its exit code. */
export async function main(words: readonly string[], io: Io): Promise<number> {
  try {
    const first = words[0];
    if (first === '--help' || first === '-h') {
      const all: Command[] = [];
      for (const load of Object.values(commands)) all.push(await load());
      io.stdout.write(overview(all));
      return 0;
    }
    if (first === '--version') {
      io.stdout.write(`${toolVersion}\n`);
      return 0;
    }
    const { command, rest } = await find(words);
    const { help, ...args } = readArguments(rest, command);
    if (help) {
      io.stdout.write(helpFor(command));
      return 0;
    }
    return await command.run(args, io);
  } catch (error) {
    if (error instanceof BadInput) {
      refuse(error, io);
      return 2;
    }
    const words = error instanceof Error ? (error.stack ?? error.message) : String(error);
    io.stderr.write(`${words}\n`);
    return 70;
  }
}

async function find(words: readonly string[]): Promise<{ command: Command; rest: readonly string[] }> {
  const names = Object.keys(commands);
  const leading = words.slice(0, Math.max(0, ...names.map((name) => name.split(' ').length)));
  for (let length = leading.length; length > 0; length--) {
    const name = leading.slice(0, length).join(' ');
    const load = Object.hasOwn(commands, name) ? commands[name] : undefined;
    if (load) return { command: await load(), rest: words.slice(length) };
  }
  const allowed = names.join(', ');
  const first = words[0];
  if (first === undefined) {
    throw new BadInput({ code: 'missing-command', message: 'No command is named: see --help.', path: '', allowed });
  }
  // "staff invit": what follows a family name belongs to the command.
  const family = names.filter((name) => name.startsWith(`${first} `));
  const typed = family.length > 0 ? words.slice(0, 2).join(' ') : first;
  const close = nearestOf(typed, family.length > 0 ? family : names)?.name;
  throw new BadInput({
    code: 'unknown-command',
    message: `There is no command "${typed}". The nearest is "${close}".`,
    path: '',
    allowed,
    got: typed,
  });
}

/** One line for programs; a person at a terminal gets the sentence first. */
function refuse({ problem, problems }: BadInput, io: Io): void {
  const { code, message, path, allowed, got } = problem;
  if ('isTTY' in io.stderr && io.stderr.isTTY) {
    for (const one of problems.length > 0 ? problems : [problem]) io.stderr.write(`${one.message}\n`);
  }
  const all = problems.length > 0 ? { problems } : {};
  const error = { code, message, path, allowed: allowed ?? null, got: got ?? null, ...all };
  io.stderr.write(`${JSON.stringify({ error })}\n`);
}
