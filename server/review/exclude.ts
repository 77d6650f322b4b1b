import { z } from 'zod';
import { type Excludable, excludable, exclusionsOf } from '../blinding/exclusions';
import { ledgerBodies, ledgerOf } from '../blinding/ledger';
import { isAbout, judgedOf } from '../blinding/left-out';
import { storyOf } from '../blinding/story';
import { actorName, type Command, type Context, planOf } from '../command';
import { tellsSample, tellsSampleWords } from '../tells-sample';
import { Refusal } from '../web/refusal';
import { knowingWords, rolesOf, unsaidKnowing } from './not-blind';

/** The review of the data by code, and what people leave out in it or after unsealing. */

const opening = z.strictObject({
  /** Why nobody else does it; asked of whoever knows too much. */
  why: z.string().trim().max(300).default(''),
});

/** Whoever looks at the answers by code before unsealing stands in the record, once. */
export const openBlindReview: Command<z.output<typeof opening>> = {
  name: 'open-blind-review',
  does: 'look at the data by code',
  states: ['closed'],
  who: 'staff',
  input: opening,
  labels: { why: 'Why nobody else does it' },
  run: (context, { why }) => noteOpening(context, why),
};

/** Also before each thing that is left out or taken back in: a look at the key may have come in between. */
async function noteOpening(context: Context, why = ''): Promise<void> {
  const { tx, study, actor } = context;
  const knows = actor.kind === 'staff' ? await unsaidKnowing(tx, study, actor) : null;
  if (actor.kind === 'staff' && knows !== null) {
    if (why.length < 3) {
      throw new Refusal(
        'bad-input',
        `${knowingWords[knows]}, so what you leave out is not decided blind. Let somebody else review the data, or say why nobody else can: the report says so.`,
        { path: 'why' },
      );
    }
    if (tellsSample(planOf(study), why)) throw new Refusal('bad-input', tellsSampleWords, { path: 'why' });
    await context.record('role-clash', { staff: actor.name, roles: rolesOf(knows), reason: why });
  }
  const before = await ledgerBodies(tx, study.id, ['blind-review-opened']);
  if (before.some((one) => one.actor === actorName(actor))) return;
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
    const decided = study.state === 'closed' ? ('blind' as const) : ('afterwards' as const);
    if (decided === 'blind') await noteOpening(context);
    const ledger = await ledgerOf(tx, study.id);
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
    if (decided === 'blind' && tellsSample(planOf(study), input.reason)) {
      throw new Refusal('bad-input', tellsSampleWords, { path: 'reason' });
    }
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
    if (study.state === 'closed') await noteOpening(context);
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
