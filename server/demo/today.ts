import { Bench } from './bench';
import { passphrase } from './cast';
import type { DeskBrowser } from './desk-browser';
import type { PlaceSeen } from './phone-place';
import { holdSession } from './session';
import type { Troupe } from './troupe';
import type { ListenerAtSeat } from './virtual-listener';

/** Three sessions that are open, and where some of their listeners are right now. */
export interface Today {
  /** The code at the door of the study that everybody may still join. */
  joinCode: string;
  /** Personal links, as paths. */
  starting: string;
  rating: string;
  asking: string;
  /** Plays by itself what it is about to compare; first it wants its sound checked. */
  playing: string;
  /** Goes on with another phone than the one that opens it. */
  elsewhere: string;
}

type Stand = (place: PlaceSeen, answers: number) => boolean;
const at =
  (kind: string, after: number): Stand =>
  (place, answers) =>
    place.kind === kind && !place.practice && answers === after;

/** Held right now: a desk with hands to do, phones that wait for somebody, a listener sent home. */
export async function playToday(
  troupe: Troupe,
  paths: Record<'running' | 'asking' | 'renders', string>,
): Promise<Today> {
  const { desk, preparer } = troupe;
  const open = (study: string, bench: Bench, panel: { listener: ListenerAtSeat; stand?: Stand }[]) =>
    holdSession({ desk, preparer, study, passphrase, number: 1, bench, panel, seats: 1, staysOpen: true });

  const cables = new Bench();
  const asking = troupe.panel('asking', cables, ['Window', 'Lamp']);
  await open(paths.asking, cables, [
    { listener: one(asking, 'Window'), stand: at('asking', 1) },
    { listener: one(asking, 'Lamp'), stand: at('listening', 0) },
  ]);

  const shells = new Bench();
  const running = troupe.panel('running', shells, [
    ...['Reed', 'Capo', 'Snare', 'Fretless', 'Slide', 'Kettle', 'Sofa', 'Mute'],
  ]);
  // One after the other, so that each has a unit of their own.
  const { joinCode } = await open(paths.running, shells, [
    { listener: one(running, 'Reed') },
    { listener: one(running, 'Capo'), stand: at('resetting', 1) },
    { listener: one(running, 'Snare'), stand: at('starting', 1) },
    { listener: one(running, 'Fretless'), stand: at('rating', 2) },
    { listener: one(running, 'Slide'), stand: at('rating', 0) },
  ]);
  // Nobody stands at the desk any more: a sample is to be taken back, one to be handed over, and one listener to be seated.
  await one(running, 'Slide').listen(at('waiting', 1));
  await seatAndWait(desk, paths.running, one(running, 'Kettle'), joinCode);
  await one(running, 'Sofa').arrive(joinCode, ['congestion']);
  await one(running, 'Mute').arrive(joinCode);

  // Free again, and handed nothing: the page plays.
  const crossovers = new Bench();
  const playing = one(troupe.panel('renders', crossovers, ['Reed']), 'Reed');
  await holdSession({
    ...{ desk, preparer, study: paths.renders, passphrase, number: 1, bench: crossovers },
    carriers: Promise.resolve([]),
    panel: [{ listener: playing, stand: ({ kind }) => kind === 'sound-check' }],
    staysOpen: true,
  });

  const linkOf = (listener: ListenerAtSeat) => new URL(listener.phone.link).pathname;
  return {
    joinCode,
    starting: linkOf(one(running, 'Snare')),
    rating: linkOf(one(running, 'Fretless')),
    asking: linkOf(one(asking, 'Window')),
    playing: linkOf(playing),
    elsewhere: linkOf(one(running, 'Slide')),
  };
}

/** Goes as far as a listener gets without anybody at the desk. */
async function seatAndWait(
  desk: DeskBrowser,
  study: string,
  listener: ListenerAtSeat,
  joinCode: string,
): Promise<void> {
  const { alias } = listener.character;
  await listener.arrive(joinCode);
  const form = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
  if (!form) throw new Error(`${alias} can’t be seated.`);
  await desk.act(form);
  await listener.listen(at('waiting', 0));
}

function one(panel: Map<string, ListenerAtSeat>, alias: string): ListenerAtSeat {
  const listener = panel.get(alias);
  if (!listener) throw new Error(`${alias} is not of this panel.`);
  return listener;
}
