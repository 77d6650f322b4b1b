import { z } from 'zod';
import { seenKinds } from '../../shared/findings-amendments';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { amendStudy } from '../blinding/amend-study';
import {
  type AmendmentFacts,
  entriesOf,
  factKinds,
  factsOf,
  type PlanChange,
  type SeenKind,
} from '../blinding/amendments';
import { type PassphraseTried, tryPassphrase } from '../blinding/lock';
import { type Command, type Context, planOf } from '../command';
import { memberships } from '../store/listeners';
import { currentSession, sessionsOf } from '../store/sessions';
import { allSeatedSittings } from '../store/sittings';
import { updateStudy } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { tellsSample, tellsSampleWords } from '../tells-sample';
import { Refusal } from '../web/refusal';
import { amend } from './amended-plan';
import type { Draft } from './draft';

const amending = z.strictObject({
  draft: z.custom<Draft>((value) => typeof value === 'object' && value !== null),
  reason: z.string().trim().min(3).max(500),
  seen: z.enum(seenKinds),
  seenWords: z.string().trim().max(300).default(''),
  /** Only for reopening. */
  passphrase: z.string().max(200).default(''),
  /** The version of the plan that the form was filled in from, so that nobody takes back by accident what another changed. */
  version: z.coerce.number<string | number>().int().optional(),
});
type Amending = z.output<typeof amending>;

/**
 * Changes a locked plan, in the open: by number, with its reason, what its author says to have seen, and what the
 * ledger says that could be seen. A study that was closed goes on by it, as long as it is sealed.
 */
export const amendPlan: Command<Amending, PassphraseTried | null> = {
  name: 'amend',
  does: 'amend the plan',
  states: ['locked', 'running', 'closed'],
  who: 'staff',
  input: amending,
  labels: {
    reason: 'The reason',
    seen: 'What you have seen',
    seenWords: 'What it was',
    passphrase: 'The passphrase',
  },
  async prepare(parts, study, { passphrase }) {
    if (study.state !== 'closed') return null;
    if (passphrase === '') throw new Refusal('bad-input', 'The passphrase is missing.', { path: 'passphrase' });
    return tryPassphrase(parts.store, study.id, passphrase);
  },
  async run(context, input, tried) {
    const { tx, study } = context;
    if (await currentSession(tx, study.id)) {
      throw new Refusal('conflict', 'A session is open. Close it first: a plan doesn’t change under a listener.', {
        path: 'session',
        next: { label: 'Go to the desk', url: `/studies/${study.id}/run` },
      });
    }
    const reopened = study.state === 'closed';
    if (reopened && !tried?.right) {
      throw new Refusal('wrong-password', 'This is not the passphrase of this study.', { path: 'passphrase' });
    }
    if (input.version !== undefined && input.version !== study.plan_version) {
      throw new Refusal(
        'conflict',
        'The plan was amended meanwhile. What you typed stands here still: compare it with the plan as it is now, then amend it.',
        {
          path: 'changes',
        },
      );
    }
    const facts = factsOf(await entriesOf(tx, study.id, factKinds));
    const { plan, changes, held } = await amendedBy(context, input, reopened, facts);
    const version = await amendStudy(tx, study, plan, held);
    if (reopened) await updateStudy(tx, study.id, { state: 'running' });
    await context.record('amended', {
      number: study.plan_version,
      reason: input.reason,
      seen: { kind: input.seen, words: input.seenWords },
      facts,
      changes,
      plan,
      ...version,
      reopened,
    });
    // Last, so that nothing that fails before leaves the key of a study that is still closed.
    if (reopened) tried?.putKeyBack();
  },
};

/** @throws Refusal with everything that stands against it, each by its field */
async function amendedBy(
  { tx, study, actor }: Context,
  { draft, reason, seen, seenWords }: Amending,
  reopened: boolean,
  facts: AmendmentFacts,
): Promise<{ plan: Plan; changes: PlanChange[]; held: number[] }> {
  const before = planOf(study);
  const held = await heldNumbers(tx, study);
  const places: Record<string, number> = {};
  for (const { audience_id, ordinal } of await memberships(tx, study.id)) {
    places[audience_id] = Math.max(places[audience_id] ?? 0, ordinal ?? 0);
  }
  const amended = amend(before, draft, { places, held: held.length });
  const problems: Problem[] = [...amended.problems];
  for (const [path, text] of [
    // Both stand on the pages of everybody.
    ['title', draft.title],
    ['question', draft.question],
    ['reason', reason],
    ['seenWords', seenWords],
  ] as const) {
    if (tellsSample(before, text)) problems.push({ code: 'not-valid', path, message: tellsSampleWords });
  }
  const seenAtLeast = actor.kind === 'staff' ? seenBy(actor.name, facts) : 'progress';
  if (seenKinds.indexOf(seen) < seenKinds.indexOf(seenAtLeast)) {
    const onlyLooked = actor.kind === 'staff' && !facts.blindReview.includes(actor.name);
    const message = seenAtLeast === 'answers' && onlyLooked ? unsaidLook : unsaidWords[seenAtLeast];
    problems.push({ code: 'not-valid', path: 'seen', message });
  }
  if (seen === 'key' && seenWords.length < 3) {
    problems.push({
      code: 'missing',
      path: 'seenWords',
      message: 'Say what of the key you have seen, without saying it again.',
    });
  }
  if (amended.plan && amended.changes.length === 0 && !reopened) {
    problems.push({
      code: 'missing',
      path: 'changes',
      message: 'Nothing in the plan was changed. Change what you mean to, then amend it.',
    });
  }
  const [first] = problems;
  if (!amended.plan || first) {
    throw new Refusal('bad-input', first?.message ?? 'The plan is not complete.', {
      path: first?.path ?? '',
      problems,
    });
  }
  return { plan: amended.plan, changes: amended.changes, held };
}

/** What the ledger has that somebody saw; to say less would stand beside it in every report. */
function seenBy(name: string, { sheets, codes, blindReview, looked = [] }: AmendmentFacts): SeenKind {
  if (sheets.includes(name) || codes.includes(name)) return 'key';
  return blindReview.includes(name) || looked.includes(name) ? 'answers' : 'progress';
}

const unsaidLook = 'The record has that you looked at how the answers stand, which is more than progress. Say so.';
const unsaidWords: Record<SeenKind, string> = {
  progress: '',
  answers: 'The record has that you looked at the answers by code. Say so.',
  key: 'The record has that you opened a sheet, or had a code revealed. Say so.',
};

/** The numbers of the sessions in which somebody sat. */
async function heldNumbers(tx: Context['tx'], study: StudyRow): Promise<number[]> {
  const satIn = new Set((await allSeatedSittings(tx, study.id)).map(({ session_id }) => session_id));
  return (await sessionsOf(tx, study.id)).filter(({ id }) => satIn.has(id)).map(({ number }) => number);
}
