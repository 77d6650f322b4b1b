import { z } from 'zod';
import { type Excludable, excludable, exclusionsOf } from '../blinding/exclusions';
import { ledgerBodies, ledgerOf } from '../blinding/ledger';
import { isAbout, judgedOf } from '../blinding/left-out';
import { storyOf } from '../blinding/story';
import { actorName, type Command, type Context } from '../command';
import { Refusal } from '../web/refusal';

/** The review of the data by code, and what people leave out in it or after unsealing. */

const nothing = z.strictObject({});

/** Whoever looks at the answers by code before unsealing stands in the record, once. */
export const openBlindReview: Command<z.infer<typeof nothing>> = {
  name: 'open-blind-review',
  does: 'look at the data by code',
  states: ['closed'],
  who: 'staff',
  input: nothing,
  run: (context) => noteOpening(context),
};

async function noteOpening(context: Context): Promise<void> {
  const before = await ledgerBodies(context.tx, context.study.id, ['blind-review-opened']);
  if (before.some(({ actor }) => actor === actorName(context.actor))) return;
  await context.record('blind-review-opened', {});
}

const target = z.string().regex(new RegExp(`^(${excludable.join('|')}):[A-Za-z0-9-]{1,40}$`), 'one of those listed');
const leavingOut = z.strictObject({ target, reason: z.string().trim().min(3).max(300) });

const targetOf = (text: string): { what: Excludable; id: string } => {
  const [what = '', id = ''] = text.split(':');
  return { what: what as Excludable, id };
};

/** Leaves out a trial, a sitting or a listener: blind, by code, or marked as decided with the verdict in sight. */
export const exclude: Command<z.infer<typeof leavingOut>> = {
  name: 'exclude',
  does: 'leave something out',
  states: ['closed', 'unsealed'],
  who: 'staff',
  input: leavingOut,
  labels: { target: 'What is left out', reason: 'The reason' },
  async run(context, input) {
    const { tx, study } = context;
    const { what, id } = targetOf(input.target);
    const ledger = await ledgerOf(tx, study.id);
    const decided = study.state === 'closed' ? ('blind' as const) : ('afterwards' as const);
    const named = { what, id, reason: input.reason, by: '', at: '', decided };
    if (!judgedOf(storyOf(ledger)).some((one) => isAbout(named, one))) {
      throw new Refusal('bad-input', 'Choose something that was answered; nothing else can be left out.', {
        path: 'target',
        got: input.target,
      });
    }
    if (exclusionsOf(ledger).some((one) => one.what === what && one.id === id)) {
      throw new Refusal('conflict', 'That is left out already. The reason that was given first stands.', {
        path: 'target',
        got: input.target,
      });
    }
    if (decided === 'blind') await noteOpening(context);
    await context.record('excluded', { what, id, reason: input.reason, decided });
  },
};

const takingBack = z.strictObject({ target });

/** Takes back what was left out at the same stage. From unsealing on, what was decided blind stands. */
export const takeBackExclusion: Command<z.infer<typeof takingBack>> = {
  name: 'take-back-exclusion',
  does: 'take something back in',
  states: ['closed', 'unsealed'],
  who: 'staff',
  input: takingBack,
  labels: { target: 'What is taken back in' },
  async run(context, input) {
    const { tx, study } = context;
    const { what, id } = targetOf(input.target);
    const found = exclusionsOf(await ledgerOf(tx, study.id)).find((one) => one.what === what && one.id === id);
    if (!found) {
      throw new Refusal('conflict', 'That isn’t left out, or was taken back in already.', { path: 'target' });
    }
    if (study.state === 'unsealed' && found.decided === 'blind') {
      throw new Refusal('conflict', 'What was left out by code before unsealing stands from then on.', {
        path: 'target',
      });
    }
    await context.record('exclusion-taken-back', { what, id });
  },
};
