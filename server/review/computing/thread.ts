import { Worker } from 'node:worker_threads';
import type { StudyId } from '../../../shared/brands';
import type { Findings } from '../../../shared/findings';
import { workerScript } from '../../worker-script';
import type { ComputedPart } from './parts';
import type { KnownFindings, Reading } from './reading';
import { Turns } from './turns';

/** What a thread is to read. */
export interface ReadingOrder {
  /** The data folder. */
  folder: string;
  study: StudyId;
  known: KnownFindings | undefined;
}

export type FromThread =
  | { part: ComputedPart }
  | { reading: Omit<Reading, 'findings'> & { findings: Findings | null } }
  | { failed: unknown };

export interface ReadingWatch {
  signal?: AbortSignal | undefined;
  hears?: ((part: ComputedPart) => void) | undefined;
}

/** Old space of a thread in MB: three times what the largest study of `tests/bench/big-study.ts` took. */
const mostMemory = 2_048;

/** At once; each takes a core and, of a large study, hundreds of megabytes. */
const turns = new Turns(2);

/** Reads the record of a study in a thread of its own. @throws the reason of the signal when it was stopped */
export async function readInThread(order: ReadingOrder, watch: ReadingWatch = {}): Promise<Reading> {
  watch.signal?.throwIfAborted();
  return turns.run(() => inThread(order, watch), watch.signal);
}

async function inThread(order: ReadingOrder, { signal, hears }: ReadingWatch): Promise<Reading> {
  const script = await workerScript('review-worker');
  signal?.throwIfAborted();
  const worker = new Worker(script, {
    workerData: order,
    execArgv: [],
    resourceLimits: { maxOldGenerationSizeMb: mostMemory },
  });
  const stop = () => void worker.terminate();
  try {
    return await new Promise<Reading>((resolve, reject) => {
      signal?.addEventListener(
        'abort',
        () => {
          reject(signal.reason);
          stop();
        },
        { once: true },
      );
      worker.on('message', (message: FromThread) => {
        if ('part' in message) hears?.(message.part);
        else if ('failed' in message) reject(new ThreadFailed(message.failed));
        else {
          const findings = message.reading.findings ?? order.known?.findings;
          if (findings) resolve({ ...message.reading, findings });
          else reject(new Error('A thread left findings out that nobody has.'));
        }
      });
      worker.on('error', reject);
      worker.on('exit', () => reject(new Error('The thread that computed a verdict ended before its time.')));
    });
  } finally {
    await worker.terminate();
  }
}

/** What a thread came to grief over, as it told it; quoting nothing of the record. */
export class ThreadFailed extends Error {
  constructor(readonly trace: unknown) {
    super('The thread that computed a verdict came to grief.');
  }
}
