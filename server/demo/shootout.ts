import { Bench } from './bench';
import type { Arrival, BrowserOptions } from './browser';
import { characters, lead, passphrase, plan, preparer, prototypes, seed } from './cast';
import { DeskBrowser } from './desk-browser';
import { type Moment, serveSession } from './operator';
import { PhoneBrowser } from './phone-browser';
import { StaffBrowser } from './staff-browser';
import { ListenerAtSeat } from './virtual-listener';

export interface Played {
  /** The path of the study. */
  study: string;
  lead: StaffBrowser;
  /** Samples handed over or taken back. */
  hands: number;
  listeners: number;
}

/**
 * Plays the invented shootout through a server that runs: two of the team, one at the desk and one out of sight, and a
 * panel with phones. Everything goes over HTTP and sockets, as if by hand. It ends unsealed, for somebody to sign.
 */
export async function playShootout(
  origin: string,
  firstCode: string,
  watch?: (arrival: Arrival) => void,
): Promise<Played> {
  const as = (name: string): BrowserOptions => ({ name, ...(watch ? { watch } : {}) });
  const desk = new DeskBrowser(origin, as(lead.name));
  const bench = new Bench();
  await desk.makeFirstAccount(firstCode, lead);
  const study = await desk.plan(plan);
  await desk.lock(study, passphrase);

  const behindTheScreen = new StaffBrowser(origin, as(preparer.name));
  await behindTheScreen.acceptInvitation(await desk.invite(), preparer);
  bench.load(await behindTheScreen.openSheet(study, passphrase));

  const { joinCode } = await desk.openSession(study);
  await desk.connect(study);
  const panel = characters.map(
    (character) =>
      new ListenerAtSeat(new PhoneBrowser(origin, as(character.alias)), bench, character, prototypes, seed),
  );
  try {
    // One after the other through the door, so that the order of joining is the same each time.
    for (const listener of panel) await listener.arrive(joinCode);
    const listening = panel.map((listener) => listener.listen());
    const load = () => behindTheScreen.readSheet(study, 1);
    const [hands] = await Promise.all([
      serveSession({ desk, study, bench, load, moments: moments(study) }, panel.length),
      ...listening,
    ]);
    await desk.closeSession(study);
    await desk.close(study);
    const unsealed = await desk.unseal(study, passphrase);
    if (unsealed.status !== 200) throw new Error('The invented study could not be unsealed.');
    return { study, lead: desk, hands: hands.length, listeners: panel.length };
  } finally {
    desk.hangUp();
    for (const { phone } of panel) phone.hangUp();
  }
}

/** What goes otherwise than planned, as it does. */
const moments = (study: string): Moment[] => [
  {
    after: 30,
    async happen(desk) {
      await desk.press(study, '#incident-form', { category: 'noise', text: 'A door slammed during a turn' });
      return true;
    },
  },
  {
    after: 45,
    async happen(desk) {
      await desk.press(study, '#pause');
      await desk.press(study, '#resume');
      return true;
    },
  },
  {
    // A mix-up: noticed while the listener still had the sample in.
    after: 70,
    async happen(desk, { seats }) {
      const touched = seats.find((seat) => seat.holding !== null && !seat.progress.startsWith('practice') && seat.void);
      if (!touched?.void) return false;
      const answer = await desk.tryAct(touched.void, { reason: 'wrong-sample', text: 'Two carriers were swapped' });
      return answer.status === 200;
    },
  },
];
