import type { Carrier } from './sheet';

/**
 * The world of things: which unit lies in which carrier, and which sample is at which seat. No screen knows this
 * while a study runs; only ears do.
 */
export class Bench {
  private readonly carriers = new Map<string, Carrier>();
  private readonly seats = new Map<number, Carrier>();
  private readonly sitting = new Map<string, number>();

  load(carriers: readonly Carrier[]): void {
    for (const carrier of carriers) this.carriers.set(carrier.code, carrier);
  }

  has(code: string): boolean {
    return this.carriers.has(code);
  }

  /** What lies in a carrier. */
  inside(code: string): Carrier {
    const sample = this.carriers.get(code);
    if (!sample) throw new Error(`Nobody has loaded the carrier ${code}.`);
    return sample;
  }

  /** Puts what lies in a carrier at a seat. @throws Error when the unit is at another seat: it can't be in two places. */
  give(seat: number, code: string): void {
    const sample = this.inside(code);
    for (const [other, there] of this.seats) {
      if (other !== seat && there.serial === sample.serial) {
        throw new Error(`${sample.serial} is at seat ${other} and was called for seat ${seat}.`);
      }
    }
    this.seats.set(seat, sample);
  }

  takeBack(seat: number): void {
    this.seats.delete(seat);
  }

  /** At the end of a session everything comes back, and the carriers are unpacked: the next one has codes of its own. */
  clear(): void {
    this.seats.clear();
    this.sitting.clear();
    this.carriers.clear();
  }

  /** Shows a listener to a seat. */
  sit(alias: string, seat: number): void {
    this.sitting.set(alias, seat);
  }

  /** What this listener has in the ears. */
  inTheEarsOf(alias: string): Carrier {
    const seat = this.sitting.get(alias);
    if (seat === undefined) throw new Error(`${alias} has no seat.`);
    return this.at(seat);
  }

  /** What lies at a seat. */
  at(seat: number): Carrier {
    const sample = this.seats.get(seat);
    if (!sample) throw new Error(`There is no sample at seat ${seat}.`);
    return sample;
  }
}
