import { z } from 'zod';
import type { ListenerId } from '../../shared/brands';
import type { Command } from '../command';
import { dueOf } from '../live/due';
import type { Due } from '../sittings-due';
import {
  endListenerTokens,
  findListener,
  findMembership,
  insertListenerToken,
  newestListenerToken,
} from '../store/listeners';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';

const making = z.strictObject({
  listener: z.string().min(1).max(40),
  /**
   * Something was lost: this card takes the place of every link and card before it. It says which was the newest, so
   * that a page that is sent again doesn't end the card that it has just made.
   */
  replaces: z.string().min(1).max(100).optional(),
});

interface CardMade {
  alias: string;
  token: string;
  due: Due;
  replaced: boolean;
}

/**
 * A card for a listener: one more personal token, of which only the hash is kept, so that it is shown once. Links that
 * the listener has already go on working, unless it is to replace them.
 */
export const makeCard: Command<z.infer<typeof making>, undefined, CardMade> = {
  name: 'card',
  does: 'make a card',
  states: ['locked', 'running'],
  who: 'staff',
  input: making,
  labels: { listener: 'The listener', replaces: 'Whether earlier links end' },
  async run(context, { listener: id, replaces }) {
    const { tx, study, at } = context;
    const listener = await findListener(tx, id as ListenerId);
    if (!listener || !(await findMembership(tx, study.id, listener.id))) {
      throw new Refusal('not-found', 'Nobody of this panel goes by that. Reload the panel.', { path: 'listener' });
    }
    const token = randomToken();
    const replaced = replaces !== undefined;
    if (replaced) {
      if ((await newestListenerToken(tx, listener.id))?.hash !== replaces) {
        throw new Refusal(
          'conflict',
          `A newer card or link of ${listener.alias} is there, and goes on working. If that one is lost as well, make a card on the panel page, and let it end all before.`,
          { path: 'replaces' },
        );
      }
      await endListenerTokens(tx, listener.id, at.toISOString());
      context.signOut(listener.id);
    }
    await insertListenerToken(tx, tokenHash(token), listener.id, at.toISOString());
    await context.record('card-made', { listener: listener.id, ...(replaced ? { replaces: true } : {}) });
    return { alias: listener.alias, token, replaced, due: await dueOf(tx, study, listener.id, at) };
  },
};
