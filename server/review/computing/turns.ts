/**
 * So many may work at once; whoever comes later waits for a turn, in the order of coming. A page with many large studies
 * would else begin as many threads, and take from whoever is at a phone all that the machine has.
 */
export class Turns {
  private working = 0;
  private readonly waiting: (() => void)[] = [];

  constructor(private readonly most: number) {}

  /** @throws the reason of the signal when it was stopped before its turn */
  async run<T>(work: () => Promise<T>, signal?: AbortSignal): Promise<T> {
    if (this.working < this.most) this.working++;
    else await this.turn(signal);
    try {
      return await work();
    } finally {
      const next = this.waiting.shift();
      if (next) next();
      else this.working--;
    }
  }

  private turn(signal: AbortSignal | undefined): Promise<void> {
    signal?.throwIfAborted();
    return new Promise((resolve, reject) => {
      const stopped = () => {
        this.waiting.splice(this.waiting.indexOf(begin), 1);
        reject(signal?.reason);
      };
      const begin = () => {
        signal?.removeEventListener('abort', stopped);
        resolve();
      };
      signal?.addEventListener('abort', stopped, { once: true });
      this.waiting.push(begin);
    });
  }
}
