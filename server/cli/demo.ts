import { constants, existsSync, mkdtempSync, rmSync } from 'node:fs';
import { access, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { dirname, join, resolve } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { readServeOptions, serveOptions } from './serve-options';
import { stopSignal } from './stop-signal';

export const demo: Command = {
  name: 'demo',
  summary: 'Plays an invented study with virtual listeners, then serves it or writes its record',
  usage: '[--record FILE] [--port 4170] [--host 0.0.0.0] [--data FOLDER] …',
  options: {
    record: { type: 'string', summary: 'writes the record of the study to this file and ends' },
    ...serveOptions,
    data: {
      type: 'string',
      summary: 'a new folder for the data, kept afterwards (a temporary one, removed at the end)',
    },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, []);
    const wanted = readServeOptions(options, process.env);
    if (typeof options.record === 'string') await mustBeWritable(options.record);
    const kept = typeof options.data === 'string' ? newFolder(options.data) : undefined;
    const data = kept ?? mkdtempSync(join(tmpdir(), 'fair-hearing-demo-'));
    try {
      const played = await play(data);
      if (typeof options.record === 'string') {
        await writeFile(resolve(options.record), played.record);
        return 0;
      }
      const { serve } = await import('../main');
      const running = await serve({ ...wanted, data }, io);
      io.stdout.write(await summary(running.place.here, played.study));
      await stopSignal();
      await running.close();
      return 0;
    } finally {
      if (kept === undefined) rmSync(data, { recursive: true, force: true });
    }
  },
};

/** The invented study is played on this machine alone; only then is it served as asked. */
async function play(data: string): Promise<{ study: string; record: string }> {
  const { serve } = await import('../main');
  const { playShootout } = await import('../demo/shootout');
  const terminal = capture();
  const running = await serve({ port: 0, host: '127.0.0.1', data, json: true }, terminal.io);
  try {
    const firstCode = /^ {4}(\S+) +http/m.exec(terminal.said())?.[1] ?? '';
    const { study, lead } = await playShootout(running.place.here, firstCode);
    return { study, record: await lead.download(study, 'record.json') };
  } finally {
    await running.close();
  }
}

/** Somewhere for the first server to print its one-time code, and its log. */
function capture(): { io: Io; said: () => string } {
  const stdout = new PassThrough();
  const lines: string[] = [];
  stdout.on('data', (text: Buffer) => {
    // The code stands in the first thing that is said; the log after it is not kept.
    if (lines.length < 20) lines.push(text.toString());
  });
  return { io: { stdin: Readable.from([]), stdout, stderr: process.stderr }, said: () => lines.join('') };
}

/** Asked before anything is played; whatever is there already stays until the record is whole. */
async function mustBeWritable(file: string): Promise<void> {
  const there = await stat(resolve(file)).catch(() => null);
  const problem = there?.isDirectory()
    ? 'EISDIR'
    : await access(there ? resolve(file) : dirname(resolve(file)), constants.W_OK).then(
        () => null,
        ({ code }: NodeJS.ErrnoException) => code ?? 'unknown',
      );
  if (problem === null) return;
  throw new BadInput({
    code: 'unwritable',
    message: `${file} can't be written (${problem}). Name a file in a folder that is there.`,
    path: '--record',
    allowed: 'a file that this user may write',
    got: file,
  });
}

/** @throws BadInput for a folder in which a server has written already: the invented study must not mix with real ones. */
function newFolder(given: string): string {
  const folder = resolve(given);
  if (!existsSync(join(folder, 'fair-hearing.sqlite'))) return folder;
  throw new BadInput({
    code: 'data-in-use',
    message: `There are data in ${folder} already. The demo is invented and wants a folder of its own.`,
    path: '--data',
    allowed: 'a new or an empty folder',
    got: given,
  });
}

async function summary(address: string, study: string): Promise<string> {
  const { lead, maker, passphrase } = await import('../demo/cast');
  return [
    `  This is a demo: ${maker}, its prototypes, its people and all answers are invented.`,
    '  The study is closed and unsealed, and waits for a signature.',
    '',
    `    Open              ${address}${study}/review`,
    `    Name              ${lead.name}`,
    `    Password          ${lead.password}`,
    `    Passphrase        ${passphrase}   (opened the sheets and unsealed the result)`,
    '',
    '',
  ].join('\n');
}
