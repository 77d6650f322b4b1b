import type { ZodType } from 'zod';
import { holdsTwins } from '../protocols/form';
import { methodOf } from '../protocols/index';
import type { ListenerId, SittingId, StaffId, StudyId } from '../shared/brands';
import { codesLast, type Plan, planSchema } from '../shared/plan';
import type { StudyState } from '../shared/states';
import { rememberHead } from './blinding/heads';
import type { Serving } from './blinding/serving';
import { recordSigned } from './blinding/signing';
import type { Parts } from './parts';
import { has, holdersOf, notYours } from './roles/holders';
import { barredFromDesk, deskBarWords } from './roles/knowers';
import { commandRights } from './roles/rights';
import type { Db } from './store/open';
import { findStudy, updateStudy } from './store/studies';
import type { StudyRow } from './store/tables';
import { type Labels, problemsOf } from './web/problems';
import { Refusal } from './web/refusal';

/**
 * Whatever changes a study is a command: a name, the states in which it is allowed, the shape of its input, and what
 * it does inside one transaction. Pages, sockets and tests all come through `perform`, in one order: shape, state,
 * right, work, ledger, commit; and only then is anybody told.
 */
export type Actor = { kind: 'staff'; id: StaffId; name: string } | { kind: 'listener'; id: ListenerId };

export interface Command<Input, Prepared = undefined, Result = void> {
  name: string;
  /** Verb in plain words, for refusals: "open a session". */
  does: string;
  states: readonly StudyState[];
  /** Which roles of the staff may do it stands in `roles/rights.ts`, under its name. */
  who: 'staff' | 'listener';
  input: ZodType<Input>;
  /** What its fields are called on the page. */
  labels?: Labels;
  /** What takes long and must not hold up other writers, such as stretching a passphrase. */
  prepare?(parts: Parts, study: StudyRow, input: Input): Promise<Prepared>;
  run(context: Context, input: Input, prepared: Prepared): Promise<Result>;
}

export interface Context {
  tx: Db;
  parts: Parts;
  study: StudyRow;
  /** Under whose name the ledger has what is done. */
  actor: Actor;
  at: Date;
  /** Adds an entry to the ledger of the study. */
  record(kind: string, body: Record<string, unknown>): Promise<void>;
  /** Marks a sitting whose phone must be told after the commit. */
  touch(sitting: SittingId): void;
  /** Marks a listener whose phones must be cut off after the commit, since their links have ended. */
  signOut(listener: ListenerId): void;
}

export const actorName = (actor: Actor): string =>
  actor.kind === 'staff' ? `staff:${actor.name}` : `listener:${actor.id}`;

export const stateWords: Record<StudyState, string> = {
  draft: 'a draft',
  locked: 'locked',
  running: 'running',
  closed: 'closed',
  unsealed: 'unsealed',
  signed: 'signed',
  refused: 'refused',
};

/** The plan of a study that was locked. One that an older version has locked gets what it didn't know yet. */
export function planOf(study: Pick<StudyRow, 'plan'>): Plan {
  const known = plans.get(study.plan);
  if (known) return known;
  const plan = planSchema.parse(JSON.parse(study.plan));
  if (plans.size > 50) plans.clear();
  plans.set(study.plan, plan);
  return plan;
}
const plans = new Map<string, Plan>();

export const servingOf = (parts: Parts, study: StudyRow): Serving => ({
  study: study.id,
  plan: planOf(study),
  planVersion: study.plan_version,
  folder: parts.store.folder,
  at: parts.now(),
});

/** Handling that is single blind by plan lets whoever prepared also run the desk. */
export const isSingleBlind = (study: StudyRow): boolean =>
  study.single_blind !== null || (study.state !== 'draft' && planOf(study).handling === 'solo');

/** A code goes on to say what lies in its carrier: it lasts the day. */
export const codesStay = (study: StudyRow): boolean => study.state !== 'draft' && codesLast(planOf(study));

/** Twins bear one code all day, so that the desk sees which answer is right. */
export const deskSeesAnswers = (study: StudyRow): boolean =>
  codesStay(study) && holdsTwins(methodOf(planOf(study)).form);

export async function perform<Input, Prepared, Result>(
  parts: Parts,
  command: Command<Input, Prepared, Result>,
  study: StudyId,
  actor: Actor,
  raw: unknown,
): Promise<Result> {
  try {
    return await attempt(parts, command, study, actor, raw);
  } catch (error) {
    const triedKey = error instanceof Refusal && error.code === 'wrong-password' && error.path === 'passphrase';
    if (triedKey) await noteWrongPassphrase(parts, study, actor, command.name);
    throw error;
  }
}

/** What was refused is undone; that somebody reached for the key is not. */
async function noteWrongPassphrase(parts: Parts, study: StudyId, actor: Actor, what: string): Promise<void> {
  const entry = { at: parts.now(), actor: actorName(actor), kind: 'key-refused', body: { what } };
  await parts.store.write(async (tx) => {
    // What was decided has the last word, also where somebody decided it meanwhile.
    const { state } = await existing(tx, study);
    if (state !== 'signed' && state !== 'refused') await recordSigned(tx, parts.store.folder, study, entry);
  });
}

async function attempt<Input, Prepared, Result>(
  parts: Parts,
  command: Command<Input, Prepared, Result>,
  study: StudyId,
  actor: Actor,
  raw: unknown,
): Promise<Result> {
  const parsed = command.input.safeParse(raw);
  const before = await existing(parts.store.db, study);
  allowedNow(command, before);
  if (!parsed.success) {
    const problems = problemsOf(parsed.error, command.labels ?? {}, raw);
    const [first] = problems;
    throw new Refusal('bad-input', first?.message ?? 'Something was not as it should be.', {
      path: first?.path ?? '',
      problems,
    });
  }
  // Also before the work that takes long: nobody tries a passphrase that isn't theirs to type.
  if (command.prepare) await allowedFor(parts.store.db, command, before, actor);
  const prepared = (await command.prepare?.(parts, before, parsed.data)) as Prepared;
  const recorded = new Set<string>();
  const touched = new Set<SittingId>();
  const signedOut = new Set<ListenerId>();
  const result = await parts.store.write(async (tx) => {
    const now = await existing(tx, study);
    allowedNow(command, now);
    await allowedFor(tx, command, now, actor);
    const at = parts.now();
    const context: Context = {
      tx,
      parts,
      study: now,
      actor,
      at,
      record: async (kind, body) => {
        await recordSigned(tx, parts.store.folder, study, { at, actor: actorName(context.actor), kind, body });
        recorded.add(kind);
      },
      touch: (sitting) => void touched.add(sitting),
      signOut: (listener) => void signedOut.add(listener),
    };
    const done = await command.run(context, parsed.data, prepared);
    await updateStudy(tx, study, { version: now.version + 1 });
    return done;
  });
  for (const listener of signedOut) parts.hub.signedOut(listener);
  for (const sitting of touched) parts.hub.sittingChanged(sitting);
  parts.hub.studyChanged(study);
  await rememberHead(parts, study, recorded);
  return result;
}

async function existing(db: Db, id: StudyId): Promise<StudyRow> {
  const study = await findStudy(db, id);
  if (!study) throw new Refusal('not-found', 'There is no such study. Look it up on the first page.');
  return study;
}

function allowedNow(command: Pick<Command<unknown>, 'states' | 'does'>, study: StudyRow): void {
  if (command.states.includes(study.state)) return;
  const when = command.states.map((state) => stateWords[state]).join(' or ');
  throw new Refusal(
    'wrong-state',
    `This study is ${stateWords[study.state]}. You can ${command.does} only while it is ${when}.`,
    { path: 'state', allowed: command.states.join(', '), got: study.state },
  );
}

async function allowedFor(
  tx: Db,
  command: Pick<Command<unknown>, 'who' | 'name' | 'does'>,
  study: StudyRow,
  actor: Actor,
): Promise<void> {
  if ((command.who === 'listener') !== (actor.kind === 'listener')) {
    throw new Refusal('barred', 'This is not yours to do.');
  }
  const right = commandRights[command.name];
  if (!right) throw new Error(`Nobody was given the right to ${command.name}.`);
  if (actor.kind !== 'staff' || right.by === 'listener') return;
  const holders = await holdersOf(tx, study);
  if (!has(holders, actor.id, right.by)) throw notYours(study, holders, actor.id, right.by, command.does);
  if (!right.unknowing || isSingleBlind(study)) return;
  const why = await barredFromDesk(tx, study, actor.id, codesStay(study), deskSeesAnswers(study));
  if (why) {
    throw new Refusal(
      'barred',
      `${deskBarWords[why]}, so you can’t run its desk. Let somebody else run it, or go on as single blind, which every report will say.`,
      { next: { label: 'Back to the desk', url: `/studies/${study.id}/run` } },
    );
  }
}
