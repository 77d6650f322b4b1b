import { constants, existsSync } from 'node:fs';
import { access, stat, writeFile } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { nearestOf } from '../../stats/nearest-name';
import type { Played } from '../demo/play';
import { temporaryFolder } from '../temporary-folder';
import { expectPositionals } from './arguments';
import { BadInput, type Command, type Io } from './command';
import { halfPlayed } from './half-played';
import { readServeOptions, serveOptions } from './serve-options';
import { onStopSignal, Stopped } from './stop-signal';

export const demo: Command = {
  name: 'demo',
  summary: 'Plays invented studies with virtual listeners, then serves them or writes the record of one',
  usage: '[--record FILE [--study NAME]] [--port 4170] [--host 0.0.0.0] [--data FOLDER] …',
  options: {
    record: { type: 'string', summary: 'writes the record of a study to this file and ends' },
    study: {
      type: 'string',
      summary: 'the study whose record is written: first-impressions, profile, abx or preference (preference)',
    },
    ...serveOptions,
    data: {
      type: 'string',
      summary: 'a new folder for the data, kept afterwards (a temporary one, removed at the end)',
    },
  },
  async run({ positionals, options }, io) {
    expectPositionals(positionals, []);
    const { record } = options;
    const wanted = readServeOptions(options, process.env);
    const study = await studyNamed(options.study, record !== undefined);
    if (typeof record === 'string') await mustBeWritable(record);
    const kept = typeof options.data === 'string' ? newFolder(options.data) : undefined;
    const temporary = kept === undefined ? temporaryFolder('demo') : null;
    const half = kept === undefined ? null : halfPlayed(kept);
    const data = kept ?? temporary?.path ?? '';
    const stop = new AbortController();
    const heedNoMore = onStopSignal(() => stop.abort(new Stopped()));
    // Also when it is told to end at once.
    const leave = () => {
      const left = stop.signal.aborted ? (half?.stopped() ?? null) : null;
      if (left !== null) io.stderr.write(`${left}\n`);
    };
    process.on('exit', leave);
    const played = <T>(say: (line: string) => void, use: (all: Played) => Promise<T>) =>
      play({ data, signal: stop.signal, begun: () => half?.begun(), say, use });
    try {
      if (typeof record === 'string') {
        const { recordOf } = await import('../demo/play');
        await writeFile(
          resolve(record),
          await played(
            () => {},
            (all) => recordOf(all, study),
          ),
        );
        half?.whole();
        return 0;
      }
      io.stdout.write(`${(await import('../demo/cast')).notice}\n\n`);
      const all = await played(
        (line) => void io.stdout.write(`  ${line}\n`),
        async (all) => all,
      );
      io.stdout.write('\n');
      const { serve } = await import('../main');
      const { tourOf } = await import('../demo/tour');
      const { putPhonesDown } = await import('../demo/put-phones-down');
      const { starting, rating, asking, playing } = all.today;
      await putPhonesDown(data, [starting, rating, asking, playing]);
      half?.whole();
      const running = await serve({ ...wanted, data, tour: tourOf(all) }, io);
      io.stdout.write(await summary(running.place.here));
      await aborted(stop.signal);
      await running.close();
      return 0;
    } catch (error) {
      if (error instanceof Stopped) return 1;
      throw error;
    } finally {
      heedNoMore();
      leave();
      process.off('exit', leave);
      temporary?.remove();
    }
  },
};

const aborted = (signal: AbortSignal): Promise<void> =>
  new Promise((resolve) => {
    if (signal.aborted) resolve();
    signal.addEventListener('abort', () => resolve(), { once: true });
  });

interface Playing<T> {
  data: string;
  signal: AbortSignal;
  /** Called once the folder is this run's. */
  begun: () => void;
  say: (line: string) => void;
  use: (played: Played) => Promise<T>;
}

/**
 * The invented studies are played on this machine alone, with the clock of the past weeks; only then are they served.
 * @throws the reason of the signal when it was stopped
 */
async function play<T>({ data, signal, begun, say, use }: Playing<T>): Promise<T> {
  const { serve } = await import('../main');
  const { playDemo, storyBegin } = await import('../demo/play');
  const { TurnedClock } = await import('../demo/turned-clock');
  const today = new Date();
  const clock = new TurnedClock(storyBegin(today));
  const terminal = capture();
  signal.throwIfAborted();
  const running = await serve(
    { port: 0, host: '127.0.0.1', data, json: true, now: clock.now, lasting: false },
    terminal.io,
  );
  begun();
  try {
    const firstCode = /^ {4}(\S+) +http/m.exec(terminal.said())?.[1] ?? '';
    return await use(await playDemo({ origin: running.place.here, firstCode, clock, today, say, signal }));
  } finally {
    await running.close();
  }
}

async function studyNamed(given: string | boolean | undefined, recorded: boolean) {
  const { studyNames } = await import('../demo/cast');
  const name = given ?? 'preference';
  const found = studyNames.find((one) => one === name);
  const problem = { path: '--study', allowed: studyNames.join(', '), got: String(given) };
  if (!found) {
    const nearest = nearestOf(String(given), studyNames)?.name;
    throw new BadInput({
      code: 'not-a-choice',
      message: `The demo has no study ${given}. The nearest is ${nearest}.`,
      ...problem,
    });
  }
  if (given !== undefined && !recorded) {
    throw new BadInput({
      code: 'missing-option',
      message: '--study says whose record is written: add --record FILE.',
      ...problem,
      allowed: '--record FILE --study NAME',
    });
  }
  return found;
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

async function summary(address: string): Promise<string> {
  const { lead, notice, passphrase } = await import('../demo/cast');
  return [
    `  ${notice}`,
    '  The first page leads to everything that is worth a look.',
    '',
    `    Open              ${address}/`,
    `    Name              ${lead.name}`,
    `    Password          ${lead.password}`,
    `    Passphrase        ${passphrase}   (opens the sheets and unseals results)`,
    '',
    '',
  ].join('\n');
}
