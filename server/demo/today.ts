import { Bench } from './bench';
import { passphrase } from './cast';
import type { PlaceSeen } from './phone-place';
import { holdSession } from './session';
import type { Troupe } from './troupe';
import type { ListenerAtSeat } from './virtual-listener';

/** Two sessions that are open, and where some of their listeners are right now. */
export interface Today {
  /** The code at the door of the study that everybody may still join. */
  joinCode: string;
  /** Personal links, as paths. */
  starting: string;
  rating: string;
  asking: string;
}

type Stand = (place: PlaceSeen, answers: number) => boolean;
const at =
  (kind: string, after: number): Stand =>
  (place, answers) =>
    place.kind === kind && !place.practice && answers === after;

/** Held right now: a desk with hands to do, phones that wait for somebody, a listener sent home. */
export async function playToday(troupe: Troupe, paths: { running: string; asking: string }): Promise<Today> {
  const { desk, preparer } = troupe;
  const open = (study: string, bench: Bench, panel: { listener: ListenerAtSeat; stand?: Stand }[]) =>
    holdSession({ desk, preparer, study, passphrase, number: 1, bench, panel, seats: 1, staysOpen: true });

  const cables = new Bench();
  const asking = troupe.panel('asking', cables, ['Mute', 'Slide']);
  await open(paths.asking, cables, [
    { listener: one(asking, 'Mute'), stand: at('asking', 1) },
    { listener: one(asking, 'Slide'), stand: at('listening', 0) },
  ]);

  const shells = new Bench();
  const running = troupe.panel('running', shells, [
    ...['Reed', 'Capo', 'Snare', 'Lamp', 'Kettle', 'Fretless', 'Sofa', 'Window'],
  ]);
  // One after the other, so that nobody is kept from their sample by somebody who stands still.
  const { joinCode } = await open(paths.running, shells, [
    { listener: one(running, 'Reed') },
    { listener: one(running, 'Capo'), stand: at('resetting', 1) },
    { listener: one(running, 'Snare'), stand: at('starting', 1) },
    { listener: one(running, 'Lamp'), stand: at('rating', 2) },
    { listener: one(running, 'Kettle'), stand: at('rating', 0) },
  ]);
  // Nobody stands at the desk any more: one sample is to be taken back, one to be handed over, one listener to be seated.
  await one(running, 'Kettle').listen(at('waiting', 1));
  const fretless = one(running, 'Fretless');
  await fretless.arrive(joinCode);
  const form = (await desk.look(paths.running)).arrivals.find(({ alias }) => alias === 'Fretless')?.seat;
  if (!form) throw new Error('Fretless can’t be seated.');
  const seat = (await desk.act(form)).seats.find(({ alias }) => alias === 'Fretless')?.seat;
  shells.sit('Fretless', seat ?? 0);
  await fretless.listen(at('waiting', 0));
  await one(running, 'Sofa').arrive(joinCode, ['congestion']);
  await one(running, 'Window').arrive(joinCode);

  const linkOf = (listener: ListenerAtSeat) => new URL(listener.phone.link).pathname;
  return {
    joinCode,
    starting: linkOf(one(running, 'Snare')),
    rating: linkOf(one(running, 'Lamp')),
    asking: linkOf(one(asking, 'Mute')),
  };
}

function one(panel: Map<string, ListenerAtSeat>, alias: string): ListenerAtSeat {
  const listener = panel.get(alias);
  if (!listener) throw new Error(`${alias} is not of this panel.`);
  return listener;
}
