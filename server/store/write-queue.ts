import type { Kysely } from 'kysely';
import { release, rollbackTo, savepoint } from './sqlite';
import type { Tables } from './tables';

type Job = {
  work: (tx: Kysely<Tables>) => Promise<unknown>;
  resolve: (value: unknown) => void;
  reject: (reason: unknown) => void;
};

/**
 * Writes one after the other; those that come in one turn of the event loop share a commit, so that the disk is
 * waited for once. A caller hears of success only after that commit. Each work stands in a savepoint of its own:
 * one that fails takes nothing with it.
 */
export class WriteQueue {
  private waiting: Job[] = [];
  private running = false;
  private idle: (() => void)[] = [];

  constructor(private readonly db: Kysely<Tables>) {}

  write<T>(work: (tx: Kysely<Tables>) => Promise<T>): Promise<T> {
    return new Promise<T>((resolve, reject) => {
      this.waiting.push({ work, resolve: resolve as (value: unknown) => void, reject });
      if (!this.running) {
        this.running = true;
        setImmediate(() => void this.drain());
      }
    });
  }

  /** Resolves when nothing waits to be written. */
  async settled(): Promise<void> {
    if (this.running) await new Promise<void>((resolve) => this.idle.push(resolve));
  }

  private async drain(): Promise<void> {
    while (this.waiting.length > 0) {
      const jobs = this.waiting.splice(0);
      const tell: (() => void)[] = [];
      try {
        await this.db.transaction().execute(async (tx) => {
          for (const job of jobs) {
            await savepoint(tx, 'work');
            try {
              const value = await job.work(tx);
              await release(tx, 'work');
              tell.push(() => job.resolve(value));
            } catch (error) {
              await rollbackTo(tx, 'work');
              await release(tx, 'work');
              tell.push(() => job.reject(error));
            }
          }
        });
      } catch (error) {
        // The commit itself failed: nothing of this batch is on disk, and nobody may believe that it is.
        for (const job of jobs) job.reject(error);
        continue;
      }
      for (const say of tell) say();
    }
    this.running = false;
    for (const done of this.idle.splice(0)) done();
  }
}
