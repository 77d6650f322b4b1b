import type { Bench } from './bench';
import type { Arrival, BrowserOptions } from './browser';
import { approver, lead, operator, people, plans, preparer, type StudyName, scenes, seed, truthOf } from './cast';
import { DeskBrowser } from './desk-browser';
import { mindOf } from './mind';
import { PhoneBrowser } from './phone-browser';
import { StaffBrowser } from './staff-browser';
import type { TurnedClock } from './turned-clock';
import { ListenerAtSeat } from './virtual-listener';

export interface Scenery {
  origin: string;
  /** The server's clock, and everybody's. */
  clock: TurnedClock;
  watch?: (arrival: Arrival) => void;
}

/** Everybody of the demo with a browser of their own: a lead, somebody at the desk, somebody out of sight, somebody who signs, a panel. */
export class Troupe {
  readonly lead: StaffBrowser;
  readonly desk: DeskBrowser;
  readonly preparer: StaffBrowser;
  readonly approver: StaffBrowser;
  private readonly phones = new Map<string, PhoneBrowser>();

  constructor(private readonly scenery: Scenery) {
    const { origin } = scenery;
    this.lead = new StaffBrowser(origin, this.as(lead.name));
    this.desk = new DeskBrowser(origin, this.as(operator.name));
    this.preparer = new StaffBrowser(origin, this.as(preparer.name));
    this.approver = new StaffBrowser(origin, this.as(approver.name));
    for (const { alias } of people) this.phones.set(alias, new PhoneBrowser(origin, this.as(alias)));
  }

  private as(name: string): BrowserOptions {
    const { clock, watch } = this.scenery;
    return { name, now: clock.now, ...(watch ? { watch } : {}) };
  }

  /** Accounts for the team, the first one with the code from the terminal. */
  async settle(firstCode: string): Promise<void> {
    await this.lead.makeFirstAccount(firstCode, lead);
    const links = [await this.lead.invite(), await this.lead.invite(), await this.lead.invite()];
    await Promise.all([
      this.desk.acceptInvitation(links[0] ?? '', operator),
      this.preparer.acceptInvitation(links[1] ?? '', preparer),
      this.approver.acceptInvitation(links[2] ?? '', approver),
    ]);
  }

  /** After weeks everybody has to sign in again. */
  async signIn(): Promise<void> {
    await Promise.all([this.lead.signIn(lead), this.desk.signIn(operator), this.preparer.signIn(preparer)]);
  }

  phone(alias: string): PhoneBrowser {
    const phone = this.phones.get(alias);
    if (!phone) throw new Error(`Nobody goes by ${alias}.`);
    return phone;
  }

  /** The listeners of a study, by alias; the same through all its sessions. */
  panel(study: keyof typeof plans, bench: Bench, who: readonly string[]): Map<string, ListenerAtSeat> {
    const plan = mindOf(plans[study]);
    const named = plan.audiences.map(({ name }) => name);
    return new Map(
      who.map((alias) => {
        const person = people.find((one) => one.alias === alias);
        if (!person) throw new Error(`Nobody goes by ${alias}.`);
        const { audience, drift, ...rest } = person;
        const character = {
          ...rest,
          audience: named.includes(audience) ? audience : (named[0] ?? ''),
          truth: truthOf(audience, drift),
          scenes: scenes[study as StudyName]?.[alias] ?? [],
        };
        const pass = (seconds: number) => this.scenery.clock.pass(seconds);
        return [alias, new ListenerAtSeat(this.phone(alias), character, { bench, plan, seed, pass })];
      }),
    );
  }

  /** Whatever they are about, nobody of them connects again. */
  cutOff(): void {
    this.desk.cutOff();
    for (const phone of this.phones.values()) phone.cutOff();
  }
}
