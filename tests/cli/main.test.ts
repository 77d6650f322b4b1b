import { PassThrough, Readable } from 'node:stream';
import { expect, test } from 'vitest';
import { commands } from '../../server/cli/commands';
import { main } from '../../server/cli/main';
import { toolVersion } from '../../server/root';

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

test('--help names every command with its summary', async () => {
  const { code, stdout, stderr } = await run('--help');
  expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
  for (const load of Object.values(commands)) {
    const { name, summary } = await load();
    expect(stdout).toContain(name);
    expect(stdout).toContain(summary);
  }
});

test.each(Object.keys(commands))('%s --help says its usage and every option', async (name) => {
  const command = await commands[name]?.();
  expect(command?.name).toBe(name);
  for (const ask of ['--help', '-h']) {
    const { code, stdout, stderr } = await run(...name.split(' '), ask);
    expect({ code, stderr }).toEqual({ code: 0, stderr: '' });
    expect(stdout).toContain(`npm run -s fh -- ${name}`);
    for (const option of Object.keys(command?.options ?? {})) expect(stdout).toContain(`--${option}`);
  }
});

test('--version says the version', async () => {
  expect(await run('--version')).toEqual({ code: 0, stdout: `${toolVersion}\n`, stderr: '' });
});

test.each([
  [['sevre'], 'unknown-command', '"serve"'],
  [['constructor'], 'unknown-command', 'The nearest is'],
  [['--hlep'], 'unknown-command', 'The nearest is'],
  [['staff'], 'unknown-command', '"staff '],
  [['staff', 'rest', 'Ann'], 'unknown-command', '"staff reset"'],
  [['staff', 'reset'], 'missing-argument', 'NAME'],
  [['staff', 'invite', 'Ann'], 'unexpected-argument', '"Ann"'],
  [['serve', '--prot', '80'], 'unknown-option', '--port'],
  [['serve', '--port', 'http'], 'out-of-range', '65535'],
  [['serve', 'now'], 'unexpected-argument', '"now"'],
  [[], 'missing-command', '--help'],
])('%j is refused with one line of JSON and nothing on standard output', async (words, code, said) => {
  const result = await run(...words);
  expect(result).toMatchObject({ code: 2, stdout: '' });
  expect(result.stderr.trimEnd().split('\n')).toHaveLength(1);
  const { error } = JSON.parse(result.stderr) as { error: Record<string, unknown> };
  expect(Object.keys(error)).toEqual(['code', 'message', 'path', 'allowed', 'got']);
  expect(error.code).toBe(code);
  expect(error.message).toContain(said);
});
