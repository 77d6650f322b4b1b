/** A clock that is turned by hand and never goes back, so that weeks pass in seconds. */
export class TurnedClock {
  private at: number;

  constructor(start: Date) {
    this.at = start.getTime();
  }

  readonly now = (): Date => new Date(this.at);

  pass(seconds: number): void {
    this.at += Math.max(0, seconds) * 1000;
  }

  /** Turns it on to that moment; one that is over already changes nothing. */
  turnTo(moment: Date): void {
    this.at = Math.max(this.at, moment.getTime());
  }
}
