import type { Bench } from './bench';
import type { DeskBrowser } from './desk-browser';
import { type Moment, serveSession } from './operator';
import type { PlaceSeen } from './phone-place';
import type { RoomClock } from './room-clock';
import type { Carrier } from './sheet';
import type { StaffBrowser } from './staff-browser';
import type { ListenerAtSeat } from './virtual-listener';

export interface SessionParts {
  desk: DeskBrowser;
  /** Out of sight of desk and panel. */
  preparer: StaffBrowser;
  study: string;
  passphrase: string;
  /** The number of the session, from 1. */
  number: number;
  bench: Bench;
  /** What is on the sheet, where it was opened before. */
  carriers?: Promise<readonly Carrier[]>;
  panel: readonly Guest[];
  /** So many are at their seats at a time; the others come when one is free. */
  seats?: number;
  moments?: Moment[];
  handed?: () => void;
  /** The session stays open, and everybody where they stand. */
  staysOpen?: boolean;
  /** By it everybody acts side by side; else each turns the clock of all. */
  clock?: RoomClock;
  /** Seconds, by that clock, until whoever is at the desk looks up when something has changed. */
  lookUp?: number;
}

/** Somebody of the panel as they come to one session. */
export interface Guest {
  listener: ListenerAtSeat;
  /** What they tick at check-in. */
  conditions?: readonly string[];
  /** Doesn't come before, by the clock of the session. */
  from?: Date;
  /** Where they stand still. */
  stand?: (place: PlaceSeen, answers: number) => boolean;
}

/** One date on which the panel sits, from the loaded carriers to the closed session. Answers with its join code. */
export async function holdSession(parts: SessionParts): Promise<{ joinCode: string; hands: number }> {
  const { desk, preparer, study, passphrase, number, bench, panel, seats = panel.length, clock, lookUp = 0 } = parts;
  bench.clear();
  bench.load(await (parts.carriers ?? preparer.openSheet(study, passphrase)));
  const { joinCode } = await desk.openSession(study);
  await desk.connect(study);
  const coming = [...panel];
  let seated = false;
  let door: Promise<unknown> = Promise.resolve();
  const act = <T>(what: () => Promise<T>): Promise<T> => clock?.act(what) ?? what();
  // One look sees whatever has changed until then: a desk that is read at every change is most of the work.
  const glance = async <T>(clock: RoomClock, others: Promise<T>): Promise<T> => {
    const changed = await clock.await(others);
    await clock.spend(lookUp);
    await clock.settled();
    return changed;
  };
  const takeTurns = async (): Promise<void> => {
    for (let guest = coming.shift(); guest; guest = coming.shift()) {
      const { listener, conditions, from, stand } = guest;
      if (from) await clock?.until(from);
      // Through the door one after the other, so that they join in the same order each time.
      const arriving = door.then(() => listener.arrive(joinCode, conditions));
      door = arriving;
      if (await arriving) await listener.listen(stand);
    }
  };
  const listening = async (): Promise<void> => {
    try {
      await Promise.all(Array.from({ length: seats }, () => act(takeTurns)));
    } finally {
      seated = true;
      desk.wake();
    }
  };
  try {
    const [hands] = await Promise.all([
      act(() =>
        serveSession(
          {
            desk,
            study,
            bench,
            load: () => preparer.readSheet(study, number),
            ...(parts.moments ? { moments: parts.moments } : {}),
            ...(parts.handed ? { handed: parts.handed } : {}),
            ...(clock ? { wait: (others) => glance(clock, others) } : {}),
          },
          () => seated,
        ),
      ),
      listening(),
    ]);
    if (!parts.staysOpen) await desk.closeSession(study);
    return { joinCode, hands: hands.length };
  } finally {
    desk.hangUp();
    if (!parts.staysOpen) for (const { listener } of panel) listener.phone.hangUp();
  }
}
