import type { Bench } from './bench';
import type { DeskBrowser } from './desk-browser';
import type { DeskSeen, HandSeen } from './desk-page';
import type { Carrier } from './sheet';

/** Something that happens at the desk besides handing over. */
export interface Moment {
  /** Not before so many samples have been handed over. */
  after: number;
  /** Answers whether it has happened; if not, it is tried again at the next look. */
  happen(desk: DeskBrowser, seen: DeskSeen): Promise<boolean>;
}

export interface OperatorParts {
  desk: DeskBrowser;
  study: string;
  bench: Bench;
  /** Asks, across the screen, for the carriers that were loaded since. */
  load(): Promise<readonly Carrier[]>;
  moments?: Moment[];
  /** Called for each sample that goes out or comes back. */
  handed?: () => void;
  /** Waits for what others do; time may go by meanwhile. */
  wait?: <T>(others: Promise<T>) => Promise<T>;
}

/**
 * Does what the desk says, one hand after the other, until everybody is done: so many listeners, or when somebody who
 * knows says so. Answers with the hands that were done.
 */
export async function serveSession(
  { desk, study, bench, load, moments = [], handed, wait = (others) => others }: OperatorParts,
  until: number | (() => boolean),
): Promise<HandSeen[]> {
  const done: HandSeen[] = [];
  const waiting = [...moments];
  for (;;) {
    const heard = desk.heard;
    const ending = typeof until === 'function' && until();
    let seen = await desk.look(study);
    for (let busy = true; busy; ) {
      busy = false;
      const next = waiting[0];
      if (next && done.length >= next.after && (await next.happen(desk, seen))) {
        waiting.shift();
        seen = await desk.look(study);
        busy = true;
        continue;
      }
      const arrival = seen.arrivals.find(({ seat }) => seat !== null);
      const hand = seen.hands.find(({ form }) => form !== null);
      if (arrival?.seat) {
        seen = await desk.act(arrival.seat);
        const shown = seen.seats.findLast(({ alias }) => alias === arrival.alias);
        if (shown) bench.sit(arrival.alias, shown.seat);
      } else if (hand?.form) {
        await handle(hand, bench, load);
        seen = await desk.act(hand.form);
        done.push(hand);
        handed?.();
      }
      busy = arrival?.seat != null || hand?.form != null;
    }
    if (typeof until === 'number' ? seen.hands.length === 0 && over(seen) === until : ending) return done;
    await wait(desk.change(heard));
  }
}

const over = ({ seats }: DeskSeen): number =>
  seats.filter(({ now, holding }) => holding === null && (now === 'done' || now === 'stopped')).length;

/** What the hands do before the tap that says so. */
async function handle(hand: HandSeen, bench: Bench, load: OperatorParts['load']): Promise<void> {
  if (hand.takeBack) bench.takeBack(hand.seat);
  if (hand.kind !== 'swap' || hand.give === null) return;
  if (!bench.has(hand.give)) bench.load(await load());
  bench.give(hand.seat, hand.give);
}
