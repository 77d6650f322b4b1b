import { trialsOfSitting } from '../../protocols/controls';
import { hasLooks } from '../../protocols/looks';
import { handsOver, type Plan, plays } from '../../shared/plan';
import { canonicalJson } from '../blinding/canonical-json';
import { findingsRevision } from '../blinding/findings-revision';
import { sha256 } from '../blinding/hash';
import type { BroughtTrial } from './brought-trials';
import type { Brought } from './read-answers';

/** One entry of a ledger before it is chained. */
export interface BroughtEntry {
  at: string;
  actor: string;
  kind: string;
  body: Record<string, unknown>;
}

export interface BroughtBy {
  /** As ledgers name who did something. */
  actor: string;
  /** When it was brought. */
  at: string;
  /** Name of the file, without folders. */
  file: string;
  /** Of the installation that signs; left out where none does. */
  signingKey?: string;
  tool: string;
}

export const hashOfPlan = (plan: Plan): string => sha256(canonicalJson(plan));

/** Who ran the desk there nobody knows. */
const elsewhere = 'elsewhere';

/** One sitting on its way into a ledger. */
interface Sitting {
  id: string;
  listener: string;
  session: number;
  trials: BroughtTrial[];
}

/**
 * A study whose answers were gathered elsewhere, from the locked plan to the key: in the same kinds of entries as any
 * other, so that whatever reads a ledger reads this one. Ids follow from the file, so that the same file gives the same.
 */
export function broughtEntries(brought: Brought, plan: Plan, by: BroughtBy): BroughtEntry[] {
  const short = brought.sha256.slice(0, 8);
  const entries: BroughtEntry[] = [];
  const add = (kind: string, body: Record<string, unknown>, actor = by.actor, at = by.at) =>
    entries.push({ at, actor, kind, body });
  const { trials } = brought;
  const listenerOf = ({ seat }: BroughtTrial) => `${short}-${seat.audience}-${String(seat.ordinal).padStart(4, '0')}`;
  const planHash = hashOfPlan(plan);
  add('plan-locked', {
    ...{ plan, planVersion: 1, planHash, commitment: '' },
    ...(by.signingKey === undefined ? {} : { signingKey: by.signingKey }),
    tool: by.tool,
  });
  add('imported', {
    ...{ file: by.file, sha256: brought.sha256, rows: brought.rows, answers: trials.length },
    codes: trials.every(({ codesGiven }) => codesGiven)
      ? 'given'
      : trials.some(({ codesGiven }) => codesGiven)
        ? 'some'
        : 'drawn',
    order: trials.some(({ orderUntold }) => orderUntold) ? 'untold' : 'told',
    times: trials.every(({ answeredAt }) => answeredAt !== null) ? 'told' : 'untold',
    ignored: brought.ignored,
  });
  for (const [listener, { seat }] of new Map(trials.map((trial) => [listenerOf(trial), trial] as const))) {
    add('joined', { listener, audience: seat.audience }, `listener:${listener}`);
  }
  const sittings = sittingsOf(trials, listenerOf);
  const exposures = exposuresUntold(trials, listenerOf);
  const key: unknown[] = [];
  const due = trialsOfSitting(plan);
  for (const number of [...new Set(trials.map(({ session }) => session))].sort((a, b) => a - b)) {
    const session = `${short}-session-${number}`;
    const held = sittings.filter((sitting) => sitting.session === number);
    const moments = held.flatMap((sitting) => sitting.trials.flatMap(({ answeredAt }) => answeredAt ?? [])).sort();
    const began = moments[0] ?? by.at;
    add('session-opened', { session, number }, elsewhere, began);
    for (const { id, listener, trials: own } of held) {
      const [{ seat, sitting }] = own as [BroughtTrial];
      // What holds of all of a sitting is said of it as a whole.
      const [marked, outside] = ofSitting.map((flag) => ofAll(own, flag));
      add('checked-in', { sitting: id, marked, outside }, `listener:${listener}`, began);
      add(
        'seated',
        {
          ...{ sitting: id, session, sessionNumber: number, listener, audience: seat.audience, ordinal: seat.ordinal },
          ...{ number: sitting, seat: seat.ordinal },
          trials: own.map((trial) => ({
            trial: idOf(id, trial),
            ordinal: trial.ordinal,
            practice: trial.practice,
            codes: trial.codes,
            shown: [],
          })),
        },
        elsewhere,
        began,
      );
      key.push(keyOf(number, own, plan));
    }
    for (const one of inOrder(held, plan)) {
      answer(one, exposures.get(one.trial) ?? one.trial.exposures, plan, add, began);
    }
    for (const { id, trials: own } of held) {
      const counted = own.filter((trial) => !trial.practice && trial.void === null).length;
      const over = counted < due ? 'sitting-cut' : 'sitting-finished';
      add(over, { sitting: id }, 'system', moments.at(-1) ?? by.at);
    }
    add('session-closed', { session, number }, elsewhere, moments.at(-1) ?? by.at);
  }
  add('study-closed', {});
  leaveOut(sittings, 'blind', add);
  add('unsealed', { seed: '', key, commitment: '', findings: findingsRevision });
  leaveOut(sittings, 'afterwards', add);
  return entries;
}

/** Marks that a ledger has of a sitting as a whole, where all of its answers bear them. */
const ofSitting = ['marked', 'outside-listening'];
const ofAll = (trials: readonly BroughtTrial[], flag: string): boolean =>
  trials.every(({ flags }) => flags.includes(flag));

const idOf = (sitting: string, { ordinal }: Pick<BroughtTrial, 'ordinal'>): string => `${sitting}-${ordinal}`;

function sittingsOf(trials: readonly BroughtTrial[], listenerOf: (trial: BroughtTrial) => string): Sitting[] {
  const found = new Map<string, Sitting>();
  for (const trial of trials) {
    const listener = listenerOf(trial);
    const id = `${listener}-${trial.session}`;
    const there = found.get(id);
    if (there) there.trials.push(trial);
    else found.set(id, { id, listener, session: trial.session, trials: [trial] });
  }
  return [...found.values()];
}

/**
 * Where nobody knows in which order the trials of a sitting came, each counts as heard as often as by its end, so that
 * the order of rows passes for none. What the file says of it counts.
 */
function exposuresUntold(
  trials: readonly BroughtTrial[],
  listenerOf: (trial: BroughtTrial) => string,
): Map<BroughtTrial, number[]> {
  const heard = new Map<string, number>();
  const keyed = (trial: BroughtTrial, prototype: string) => `${listenerOf(trial)} ${prototype}`;
  const found = new Map<BroughtTrial, number[]>();
  // Sessions come in their order, so that by the end of each all of it has been counted.
  for (const session of [...new Set(trials.map((trial) => trial.session))]) {
    const own = trials.filter((trial) => trial.session === session);
    for (const trial of own) {
      for (const prototype of trial.prototypes)
        heard.set(keyed(trial, prototype), (heard.get(keyed(trial, prototype)) ?? 0) + 1);
    }
    for (const trial of own) {
      if (!trial.orderUntold || trial.exposures !== null) continue;
      found.set(
        trial,
        trial.prototypes.map((prototype) => heard.get(keyed(trial, prototype)) ?? 1),
      );
    }
  }
  return found;
}

interface Answered {
  sitting: string;
  trial: BroughtTrial;
  /** Without those of the sitting as a whole. */
  flags: string[];
}

/** Answers of a session as the ledger has them: where a plan has looks in order of time, as far as that is known. */
function inOrder(held: readonly Sitting[], plan: Plan): Answered[] {
  const all = held.flatMap(({ id, trials }) => {
    const whole = ofSitting.filter((flag) => ofAll(trials, flag));
    return trials.map((trial) => ({ sitting: id, trial, flags: trial.flags.filter((flag) => !whole.includes(flag)) }));
  });
  if (!hasLooks(plan) || all.some(({ trial }) => trial.answeredAt === null)) return all;
  return all.sort((a, b) =>
    (a.trial.answeredAt ?? '') < (b.trial.answeredAt ?? '') ? -1 : a.trial.answeredAt === b.trial.answeredAt ? 0 : 1,
  );
}

type Add = (kind: string, body: Record<string, unknown>, actor?: string, at?: string) => unknown;

function answer(
  { sitting, trial, flags }: Answered,
  exposures: number[] | null,
  plan: Plan,
  add: Add,
  began: string,
): void {
  const about = { trial: idOf(sitting, trial), sitting };
  const at = trial.answeredAt ?? began;
  const actor = `listener:${sitting.replace(/-\d+$/, '')}`;
  if (trial.prototypes.length > 0) add('started', { ...about, all: true, times: {} }, actor, at);
  if (trial.heardMs !== null && !plays(plan))
    add('heard', { ...about, times: { sincePlaying: trial.heardMs } }, actor, at);
  const sounded = trial.soundedMs.length > 0 || trial.heardMs === null ? trial.soundedMs : [trial.heardMs];
  add(
    'answered',
    {
      ...about,
      ...trial.given,
      practice: trial.practice,
      times: { sincePlaying: trial.answeredMs },
      ...(plays(plan) &&
        sounded.length > 0 && {
          sound: { heardMs: sounded, ...(trial.outputRate === null ? {} : { rate: trial.outputRate }) },
        }),
      ...(flags.length > 0 && { flags }),
      ...(exposures && { exposures }),
      ...(trial.orderUntold && { orderUntold: true }),
    },
    actor,
    at,
  );
  if (trial.void !== null)
    add('trial-voided', { ...about, step: 'asking', reason: trial.void, text: '' }, 'system', at);
}

/** What stood behind each code, as the file says. */
const keyOf = (session: number, trials: readonly BroughtTrial[], plan: Plan) => ({
  ...{ session, audience: trials[0]?.seat.audience, ordinal: trials[0]?.seat.ordinal, sitting: trials[0]?.sitting },
  trials: trials.map(({ ordinal, practice, prototypes, units, codes, excerpt, control }) => ({
    ...{ ordinal, practice, replaces: null, prototypes, codes },
    units: handsOver(plan) ? units : [],
    ...(excerpt === null ? {} : { excerpt }),
    ...(control === null ? {} : { control }),
  })),
});

function leaveOut(sittings: readonly Sitting[], decided: 'blind' | 'afterwards', add: Add): void {
  for (const { id, trials } of sittings) {
    for (const trial of trials) {
      if (!trial.excluded.includes(decided)) continue;
      add('excluded', { what: 'trial', id: idOf(id, trial), reason: 'As the file has it', decided });
    }
  }
}
