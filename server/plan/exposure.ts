import { z } from 'zod';
import type { ListenerId } from '../../shared/brands';
import { sittingGoesOn } from '../../shared/states';
import { type Command, planOf } from '../command';
import { findListener } from '../store/listeners';
import { Refusal } from '../web/refusal';

/**
 * Listening outside the test, as the team declares it: somebody had a prototype at home, or was shown one. It counts
 * among the hearings of that listener. Prototypes have names here, so this is no page for the desk, let alone a phone.
 */

const declaring = z.strictObject({
  listener: z.string().min(1).max(40),
  prototype: z.string().min(1).max(64),
  times: z.coerce.number<string | number>().int().min(1).max(999),
  how: z.enum(['open', 'blind']),
});

export const declareExposure: Command<z.output<typeof declaring>> = {
  name: 'declare-exposure',
  does: 'declare listening outside the test',
  states: sittingGoesOn,
  who: 'staff',
  input: declaring,
  labels: {
    listener: 'The listener',
    prototype: 'The prototype',
    times: 'How often it was heard',
    how: 'Whether the listener knew which it was',
  },
  async run(context, { listener, prototype, times, how }) {
    if (!(await findListener(context.tx, listener as ListenerId))) {
      throw new Refusal('bad-input', 'Choose the listener from the list.', { path: 'listener' });
    }
    const { prototypes } = planOf(context.study);
    if (!prototypes.some(({ id }) => id === prototype)) {
      throw new Refusal('bad-input', 'Choose the prototype from the list.', { path: 'prototype' });
    }
    await context.record('exposure-declared', { listener, prototype, times, how });
  },
};
