import { join } from 'node:path';
import { Worker } from 'node:worker_threads';
import { root } from '../root';

export type DecoderKind = 'mp3' | 'flac' | 'vorbis' | 'opus';

export interface Decoded {
  /** Samples by piece and channel. */
  pieces: Float32Array[][];
  /** The decoder said that something was wrong with what it was given. */
  failed: boolean;
}

const script = join(root, 'server/audio/decoder-thread.mjs');
/** A piece of a file is decoded within milliseconds; whoever takes this long is caught in a circle. */
const usualPatienceMs = 30_000;
const megabytes = 192;

/**
 * A decoder in a thread of its own. The server goes on answering meanwhile; what decoders print is kept off standard
 * error; and should one not come to an end on a damaged file, or eat memory, its thread is ended and the file refused.
 */
export class Decoder {
  private readonly worker: Worker;
  private readonly ready: Promise<void>;
  private answer: ((decoded: Decoded) => void) | null = null;
  private ended = false;

  constructor(
    kind: DecoderKind,
    private readonly patienceMs = usualPatienceMs,
  ) {
    this.worker = new Worker(script, {
      workerData: kind,
      stdout: true,
      stderr: true,
      execArgv: [],
      resourceLimits: { maxOldGenerationSizeMb: megabytes },
    });
    this.worker.stdout.resume();
    this.worker.stderr.resume();
    this.ready = new Promise((resolve, reject) => {
      this.worker.once('message', () => {
        this.worker.on('message', (decoded: Decoded) => this.give(decoded));
        resolve();
      });
      this.worker.on('error', (error) => {
        this.end();
        reject(error);
      });
      this.worker.on('exit', () => {
        this.end();
        reject(new Error('A decoder did not start.'));
      });
    });
    // Asked for again by whoever decodes.
    this.ready.catch(() => {});
  }

  decode(parts: Uint8Array[]): Promise<Decoded> {
    return this.ask(parts);
  }

  /** What the decoder still has. */
  flush(): Promise<Decoded> {
    return this.ask('flush');
  }

  /** Gives back what the decoder holds and ends its thread. */
  async close(): Promise<void> {
    if (this.ended) return;
    this.worker.postMessage('free');
    await new Promise<void>((resolve) => {
      const stop = setTimeout(() => void this.worker.terminate(), usualPatienceMs);
      this.worker.once('exit', () => {
        clearTimeout(stop);
        resolve();
      });
    });
  }

  private async ask(message: Uint8Array[] | 'flush'): Promise<Decoded> {
    await this.ready;
    if (this.ended) return { pieces: [], failed: true };
    return await new Promise((resolve) => {
      const stop = setTimeout(() => {
        this.end();
        void this.worker.terminate();
      }, this.patienceMs);
      this.answer = (decoded) => {
        clearTimeout(stop);
        resolve(decoded);
      };
      this.worker.postMessage(message);
    });
  }

  private give(decoded: Decoded): void {
    const { answer } = this;
    this.answer = null;
    answer?.(decoded);
  }

  private end(): void {
    this.ended = true;
    this.give({ pieces: [], failed: true });
  }
}
