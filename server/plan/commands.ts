import { z } from 'zod';
import type { StaffId, StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { earlierHearings } from '../blinding/earlier-hearings';
import { record } from '../blinding/ledger';
import { type Locked, lockStudy, prepareLock } from '../blinding/lock';
import { signingPublicKey } from '../blinding/signing';
import { actorName, type Command } from '../command';
import { newId } from '../ids';
import { coverLevels, deviationLimits } from '../level-problems';
import type { Parts } from '../parts';
import { insertStudy, updateStudy } from '../store/studies';
import { Refusal } from '../web/refusal';
import type { Staff } from '../web/visitor';
import { candidate } from './candidate';
import { checkPlan } from './check';
import type { Draft } from './draft';
import { openDraft } from './saved-draft';

/** A new study, as a draft. */
export async function createStudy(parts: Parts, staff: Staff, draft: Draft): Promise<StudyId> {
  const at = parts.now();
  const id = newId<StudyId>(at);
  await parts.store.write(async (tx) => {
    await insertStudy(tx, {
      id,
      title: draft.title,
      state: 'draft',
      plan: JSON.stringify(draft),
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: staff.id as StaffId,
      created_at: at.toISOString(),
      single_blind: null,
      version: 1,
    });
    const actor = actorName({ kind: 'staff', ...staff });
    await record(tx, id, { at, actor, kind: 'study-created', body: { study: id } });
  });
  return id;
}

const saving = z.strictObject({ draft: z.custom<Draft>((value) => typeof value === 'object' && value !== null) });

/** Keeps a draft as it was typed, whatever is still wrong with it. */
export const savePlan: Command<{ draft: Draft }> = {
  name: 'save-plan',
  does: 'change the plan',
  states: ['draft'],
  who: 'staff',
  input: saving,
  async run({ tx, study }, { draft }) {
    await updateStudy(tx, study.id, {
      plan: JSON.stringify(draft),
      title: draft.title.trim().slice(0, 120) || 'Untitled',
    });
  },
};

const locking = z.strictObject({
  passphrase: z.string().min(10).max(200),
  passphraseAgain: z.string().max(200),
  /** Why it is locked though levels aren't as they must be; counts only where they aren't. */
  deviation: z.string().trim().max(deviationLimits.max).default(''),
});

/** Freezes the plan: its hash and the commitment to the draw's seed go into the ledger before anything is answered. */
export const lockPlan: Command<z.output<typeof locking>, { plan: Plan; locked: Locked }> = {
  name: 'lock',
  does: 'lock the plan',
  states: ['draft'],
  who: 'staff',
  input: locking,
  labels: { passphrase: 'The passphrase', passphraseAgain: 'The passphrase again', deviation: 'The reason' },
  async prepare(_parts, study, { passphrase, passphraseAgain }) {
    if (passphrase !== passphraseAgain) {
      throw new Refusal('bad-input', 'The two passphrases are not the same.', { path: 'passphraseAgain' });
    }
    const plan = lockable(study.plan);
    return { plan, locked: await prepareLock(study.id, plan, passphrase) };
  },
  async run(context, { deviation }, { plan, locked }) {
    const { tx, study, parts } = context;
    if (JSON.stringify(lockable(study.plan)) !== JSON.stringify(plan)) {
      throw new Refusal('conflict', 'The plan was changed in another tab meanwhile. Look at it again, then lock it.');
    }
    await lockStudy(tx, parts.store.folder, study.id, plan, locked);
    await context.record('plan-locked', {
      plan,
      planVersion: 1,
      planHash: locked.planHash,
      commitment: locked.commitment,
      signingKey: signingPublicKey(parts.store.folder),
      tool: parts.toolVersion,
    });
    await coverLevels(context, plan, deviation);
    // What listeners heard in the study before counts on, as far as that study has been unsealed.
    for (const heard of await earlierHearings(tx, plan)) {
      await context.record('exposure-declared', { ...heard, how: 'earlier-study' });
    }
  },
};

function lockable(draft: string): Plan {
  const { plan, problems } = checkPlan(candidate(openDraft(draft)));
  if (plan) return plan;
  const [first] = problems;
  throw new Refusal('bad-input', first?.message ?? 'The plan is not complete.', { path: first?.path ?? '', problems });
}
