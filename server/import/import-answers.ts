import { z } from 'zod';
import type { Plan } from '../../shared/plan';
import { canonicalJson } from '../blinding/canonical-json';
import { recordSignedAll, signingPublicKey } from '../blinding/signing';
import { actorName, type Command } from '../command';
import { updateStudy } from '../store/studies';
import { Refusal } from '../web/refusal';
import { broughtEntries, hashOfPlan } from './entries';
import type { Brought } from './read-answers';

const importing = z.strictObject({
  understood: z.literal('yes'),
  /** Name of the file, without folders. */
  file: z.string().trim().min(1).max(200),
  /** The draft that the answers were read by, as it was kept. */
  source: z.string(),
  plan: z.custom<Plan>((value) => typeof value === 'object' && value !== null),
  brought: z.custom<Brought>((value) => typeof value === 'object' && value !== null),
});

/** Makes a draft a study whose answers were gathered elsewhere: locked, answered, closed and unsealed at once. */
export const importAnswers: Command<z.infer<typeof importing>> = {
  name: 'import-answers',
  does: 'bring answers',
  states: ['draft'],
  who: 'staff',
  input: importing,
  labels: { understood: 'That it can’t be taken back', file: 'The name of the file' },
  async run(context, { file, source, plan, brought }) {
    const { tx, study, parts, actor, at } = context;
    if (study.plan !== source) {
      throw new Refusal(
        'conflict',
        'The plan was changed in another tab meanwhile. Look at it, then bring the file again.',
      );
    }
    const by = { actor: actorName(actor), at: at.toISOString(), file, tool: parts.toolVersion };
    const entries = broughtEntries(brought, plan, { ...by, signingKey: signingPublicKey(parts.store.folder) });
    const unsealing = entries.findIndex(({ kind }) => kind === 'unsealed');
    const writeAll = (some: typeof entries) =>
      recordSignedAll(
        tx,
        parts.store.folder,
        study.id,
        some.map((entry) => ({ ...entry, at: new Date(entry.at) })),
      );
    await writeAll(entries.slice(0, unsealing));
    await context.record('unsealed', entries[unsealing]?.body ?? {});
    await writeAll(entries.slice(unsealing + 1));
    await updateStudy(tx, study.id, {
      ...{ state: 'unsealed', title: plan.title, plan: canonicalJson(plan), plan_version: 1 },
      ...{ plan_hash: hashOfPlan(plan), commitment: null },
    });
  },
};
