import { parseArgs } from 'node:util';
import { nearestOf } from '../../stats/nearest-name';
import { BadInput, type Command } from './command';

export interface Arguments {
  positionals: string[];
  options: Record<string, string | boolean | undefined>;
  help: boolean;
}

/** Reads what follows the name of a command. Options that it doesn't have are refused with the nearest that it has. */
export function readArguments(words: readonly string[], command: Command): Arguments {
  const known: Command['options'] = { ...command.options, help: { type: 'boolean', summary: 'says this' } };
  const { tokens } = parseArgs({
    args: [...words],
    options: Object.fromEntries(Object.entries(known).map(([name, { type }]) => [name, { type }])),
    strict: false,
    tokens: true,
  });
  const read: Arguments = { positionals: [], options: {}, help: false };
  for (const token of tokens) {
    if (token.kind === 'positional') read.positionals.push(token.value);
    if (token.kind !== 'option') continue;
    if (token.rawName === '-h') {
      read.help = true;
      continue;
    }
    const option = Object.hasOwn(known, token.name) && token.rawName.startsWith('--') ? known[token.name] : undefined;
    if (!option) throw unknownOption(token.rawName, Object.keys(known), command);
    const path = `--${token.name}`;
    if (Object.hasOwn(read.options, token.name)) {
      throw new BadInput({ code: 'repeated-option', message: `${path} stands there twice: give it once.`, path });
    }
    // An option right after an option that wants a value means that the value was forgotten.
    const forgotten = token.value === undefined || (!token.inlineValue && token.value.startsWith('--'));
    if (option.type === 'string' && (forgotten || token.value === '')) {
      throw new BadInput({
        code: 'missing-value',
        message: `${path} needs a value: ${option.summary}.`,
        path,
        allowed: `${path} VALUE`,
      });
    }
    if (option.type === 'boolean' && token.value !== undefined) {
      throw new BadInput({
        code: 'unexpected-value',
        message: `${path} takes no value: leave out what follows the equals sign.`,
        path,
        allowed: path,
        got: token.value,
      });
    }
    read.options[token.name] = token.value ?? true;
  }
  if (read.options.help) read.help = true;
  return read;
}

function unknownOption(raw: string, known: string[], command: Command): BadInput {
  const close = nearestOf(raw.replace(/^-+/, ''), known)?.name;
  return new BadInput({
    code: 'unknown-option',
    message: `${command.name} has no option ${raw}. The nearest is --${close}.`,
    path: raw,
    allowed: known.map((name) => `--${name}`).join(', '),
    got: raw,
  });
}

/** Refuses too few or too many arguments; `names` says what each one is. */
export function expectPositionals(positionals: readonly string[], names: readonly string[]): void {
  const missing = names[positionals.length];
  if (missing !== undefined) {
    throw new BadInput({
      code: 'missing-argument',
      message: `${missing} is missing.`,
      path: missing,
      allowed: names.join(' '),
    });
  }
  const extra = positionals[names.length];
  if (extra !== undefined) {
    throw new BadInput({
      code: 'unexpected-argument',
      message: `"${extra}" is one argument too many.`,
      path: '',
      allowed: names.length > 0 ? names.join(' ') : 'no arguments',
      got: extra,
    });
  }
}
