import { expect, test } from 'vitest';
import { expectPositionals, readArguments } from '../../server/cli/arguments';
import { BadInput, type Command } from '../../server/cli/command';

const command: Command = {
  name: 'pour',
  summary: 'Pours.',
  usage: 'FILE [--json]',
  options: {
    port: { type: 'string', summary: 'the port to listen on' },
    json: { type: 'boolean', summary: 'for programs' },
  },
  run: async () => 0,
};

function problem(work: () => unknown) {
  try {
    work();
  } catch (error) {
    if (error instanceof BadInput) return error.problem;
    throw error;
  }
  throw new Error('nothing was refused');
}

test('options and arguments in any order', () => {
  const expected = { positionals: ['a.json', '-'], options: { port: '80', json: true }, help: false };
  expect(readArguments(['a.json', '--port', '80', '--json', '-'], command)).toEqual(expected);
  expect(readArguments(['--json', '--port=80', 'a.json', '-'], command)).toEqual(expected);
});

test('a negative number is a value, and what follows two dashes is an argument', () => {
  expect(readArguments(['--port', '-5', '--', '--json'], command)).toMatchObject({
    positionals: ['--json'],
    options: { port: '-5' },
  });
});

test.each([['--help'], ['-h']])('%s asks for help', (word) => {
  expect(readArguments(['x', word], command).help).toBe(true);
});

test.each([
  [['--prot', '80'], { code: 'unknown-option', path: '--prot', got: '--prot' }, '--port'],
  [['--jsno'], { code: 'unknown-option', path: '--jsno' }, '--json'],
  [['-p', '80'], { code: 'unknown-option', path: '-p' }, '--port'],
  [['--constructor'], { code: 'unknown-option', path: '--constructor' }, '--port'],
  [['--port'], { code: 'missing-value', path: '--port' }, 'the port to listen on'],
  [['--port='], { code: 'missing-value', path: '--port' }, 'the port to listen on'],
  [['--port', '--json'], { code: 'missing-value', path: '--port' }, 'needs a value'],
  [['--json=yes'], { code: 'unexpected-value', path: '--json', got: 'yes' }, 'takes no value'],
  [['--port', '1', '--port', '2'], { code: 'repeated-option', path: '--port' }, 'twice'],
])('%j is refused', (words, expected, said) => {
  const refused = problem(() => readArguments(words, command));
  expect(refused).toMatchObject(expected);
  expect(refused.message).toContain(said);
});

test('too few and too many arguments are refused by name', () => {
  expect(problem(() => expectPositionals([], ['FILE']))).toMatchObject({ code: 'missing-argument', path: 'FILE' });
  expect(problem(() => expectPositionals(['a', 'b'], ['FILE']))).toMatchObject({
    code: 'unexpected-argument',
    got: 'b',
  });
  expect(() => expectPositionals(['a'], ['FILE'])).not.toThrow();
});
