import { z } from 'zod';
import type { ListenerId } from '../../shared/brands';
import type { Command } from '../command';
import { dueOf } from '../live/due';
import type { Due } from '../sittings-due';
import { findListener, findMembership, insertListenerToken } from '../store/listeners';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';

const making = z.strictObject({ listener: z.string().min(1).max(40) });

/**
 * A card for a listener: one more personal token, of which only the hash is kept, so that it is shown once. Links that
 * the listener has already go on working.
 */
export const makeCard: Command<z.infer<typeof making>, undefined, { alias: string; token: string; due: Due }> = {
  name: 'card',
  does: 'make a card',
  states: ['locked', 'running'],
  who: 'operator',
  input: making,
  labels: { listener: 'The listener' },
  async run(context, { listener: id }) {
    const { tx, study, at } = context;
    const listener = await findListener(tx, id as ListenerId);
    if (!listener || !(await findMembership(tx, study.id, listener.id))) {
      throw new Refusal('not-found', 'Nobody of this panel goes by that. Reload the panel.', { path: 'listener' });
    }
    const token = randomToken();
    await insertListenerToken(tx, tokenHash(token), listener.id, at.toISOString());
    await context.record('card-made', { listener: listener.id });
    return { alias: listener.alias, token, due: await dueOf(tx, study, listener.id, at) };
  },
};
