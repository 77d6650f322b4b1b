import { z } from 'zod';
import { hasLooks } from '../../../protocols/looks';
import { type Look, lookNow } from '../../blinding/looks';
import { type Command, planOf } from '../../command';
import { membersWho } from '../../roles/clashes';
import { Refusal } from '../../web/refusal';

const nothing = z.strictObject({});

/** An interim analysis, where the plan has them: who looked, when, and what was shown stands in the record. */
export const look: Command<z.infer<typeof nothing>, Look> = {
  name: 'look',
  does: 'look at how the answers stand',
  states: ['running'],
  who: 'staff',
  input: nothing,
  async prepare(parts, study) {
    if (!hasLooks(planOf(study))) {
      throw new Refusal(
        'conflict',
        'Nothing is shown before closing: this plan is of fixed size. Close the study once all answers are in, then unseal it.',
        {
          path: 'looks.kind',
          allowed: 'sequential or always-valid, in a plan',
          got: 'fixed',
          next: { label: 'Back to the review', url: `/studies/${study.id}/review` },
        },
      );
    }
    return lookNow(parts.store.db, parts.store.folder, study.id);
  },
  async run(context, _input, { upTo, audiences }) {
    const { tx, study, actor } = context;
    if (actor.kind === 'staff' && (await membersWho(tx, study, actor)).length > 0) {
      throw new Refusal(
        'barred',
        'You sit on the panel of this study, and a look would tell you how your own answers count. Let somebody else look.',
        { next: { label: 'Back to the review', url: `/studies/${study.id}/review` } },
      );
    }
    await context.record('looked', { upTo, audiences });
  },
};
