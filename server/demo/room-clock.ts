import { TurnedClock } from './turned-clock';

/** So many turns of the event loop a message between two people of this process may take. */
const underWay = 10;

/**
 * The clock of a room in which people do things side by side. It stands still while anybody does something and goes on
 * when all of them wait, to the moment at which the first of them is ready: what takes one a minute takes eight of them
 * a minute as well.
 */
export class RoomClock extends TurnedClock {
  private awake = 0;
  private looking = false;
  private stopped = false;
  private readonly sleepers: { until: number; wake: () => void }[] = [];

  /** What somebody does; the clock stands until it is done, but for the waiting in it. */
  async act<T>(what: () => Promise<T>): Promise<T> {
    this.awake++;
    try {
      return await what();
    } finally {
      this.rest();
    }
  }

  /** Waits, within an act, for what others do. */
  async await<T>(others: Promise<T>): Promise<T> {
    this.rest();
    try {
      return await others;
    } finally {
      this.awake++;
    }
  }

  /** Lets time go by, within an act. */
  spend(seconds: number): Promise<void> {
    return this.until(new Date(this.now().getTime() + Math.max(0, seconds) * 1_000));
  }

  /** Waits, within an act, for that moment. */
  async until(moment: Date): Promise<void> {
    if (moment <= this.now()) return;
    await this.sleep(moment);
  }

  /** Waits, within an act, until everybody else waits as well; no time goes by. */
  settled(): Promise<void> {
    return this.sleep(this.now());
  }

  /** Ends every wait for a moment, now and later: it will not come. */
  stop(): void {
    this.stopped = true;
    for (const { wake } of this.sleepers.splice(0)) wake();
  }

  /** @throws Error when the clock is stopped before that moment */
  private async sleep(moment: Date): Promise<void> {
    if (!this.stopped)
      await this.await(new Promise<void>((wake) => this.sleepers.push({ until: moment.getTime(), wake })));
    if (this.stopped) throw new Error('The clock was stopped.');
  }

  private rest(): void {
    this.awake--;
    if (this.awake > 0 || this.looking) return;
    this.looking = true;
    this.look(underWay);
  }

  private look(turns: number): void {
    setImmediate(() => {
      if (this.awake > 0 || turns === 0) this.looking = false;
      if (this.awake > 0) return;
      if (turns === 0) this.goOn();
      else this.look(turns - 1);
    });
  }

  private goOn(): void {
    const first = Math.min(...this.sleepers.map(({ until }) => until));
    const due = this.sleepers.filter(({ until }) => until === first);
    if (due.length === 0) return;
    this.sleepers.splice(0, this.sleepers.length, ...this.sleepers.filter(({ until }) => until !== first));
    this.turnTo(new Date(first));
    // Whoever is ready at the same moment acts at once, in the order in which they began to wait.
    for (const { wake } of due) wake();
  }
}
