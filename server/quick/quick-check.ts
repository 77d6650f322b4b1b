import type { ListenerId, StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aliasKey } from '../account/listener-identity';
import type { SoundFacts } from '../audio/shelf';
import { type Actor, planOf } from '../command';
import type { Parts } from '../parts';
import { quickPassphrase } from '../quick-passphrase';
import { findListenerByAlias } from '../store/listeners';
import { currentSession } from '../store/sessions';
import { latestSitting } from '../store/sittings';
import { findStudy } from '../store/studies';
import { Refusal } from '../web/refusal';
import type { Staff } from '../web/visitor';

/**
 * Two files, one listener, this device, now. It is a small study like any other: planned, locked, matched, drawn, sealed
 * and unsealed, by the same commands; only that one person is all of its people, and nobody types a passphrase.
 */

/** The commands of all rooms that a study goes through. Handed in, since no room knows another. */
export interface QuickSteps {
  /** Whether the first seconds of both files can be matched. @throws Refusal in words */
  tries(asked: QuickAsked, files: QuickInput['files'], seconds: number): Promise<void>;
  create(staff: Staff, asked: QuickAsked): Promise<{ study: StudyId; plan: Plan; source: string }>;
  /** Performs a command of a room. What it takes is checked by the command's own schema. */
  does: Record<
    'lock' | 'take' | 'cut' | 'match' | 'open' | 'checkIn' | 'consent' | 'seat' | 'close' | 'unseal',
    (study: StudyId, actor: Actor, input: unknown) => Promise<unknown>
  >;
  join(study: StudyId, actor: Actor, input: unknown): Promise<{ listener: ListenerId; isNew: boolean }>;
  /** From closing on the server can't open the key by itself. */
  forgetKey(study: StudyId): void;
}

export interface QuickAsked {
  method: 'abx' | 'paired-preference';
  names: readonly [string, string];
  trials: number;
}

export interface QuickInput extends QuickAsked {
  files: readonly [SoundFacts, SoundFacts];
}

/** As long a piece as can be kept in mind, and less where a file is shorter. Common practice. */
const longestSeconds = 20;

/** Whoever comes with this browser: known, or by the token of their form. */
export interface QuickListener {
  id: ListenerId | null;
  token: string;
  device: string;
}

/** Does all that stands between two files and the first sound. Answers with the listener that it is done for. */
export async function beginQuickCheck(
  parts: Parts,
  steps: QuickSteps,
  staff: Staff,
  comer: QuickListener,
  asked: QuickInput,
): Promise<{ study: StudyId; isNew: boolean }> {
  await refuseSitting(parts, comer.id);
  const { does } = steps;
  const [a, b] = asked.files;
  const seconds = Math.min(a.frames, b.frames, longestSeconds * a.rate) / a.rate;
  // A study is for ever, so that files which don't go together are found out before there is one.
  await steps.tries(asked, asked.files, seconds);
  const { study, plan, source } = await steps.create(staff, asked);
  const desk: Actor = { kind: 'staff', ...staff };
  const excerpt = plan.excerpts[0]?.id ?? '';
  const given = { plan, source, excerpt };
  for (const [at, { id: prototype }] of plan.prototypes.entries()) {
    await does.take(study, desk, { ...given, prototype, facts: asked.files[at] });
  }
  await does.cut(study, desk, { ...given, from: '0', to: seconds.toFixed(6) });
  await does.match(study, desk, { plan, source });
  const passphrase = quickPassphrase(parts, study);
  await does.lock(study, desk, { passphrase, passphraseAgain: passphrase });
  await does.open(study, desk, {});
  const session = await currentSession(parts.store.db, study);
  const joined = await steps.join(
    study,
    { kind: 'listener', id: comer.id ?? ('' as ListenerId) },
    {
      ...(comer.id ? {} : { alias: await freeAlias(parts, staff.name) }),
      seen: 'no',
      session: session?.id ?? '',
      token: comer.token,
      device: comer.device,
      staff: staff.id,
    },
  );
  const own: Actor = { kind: 'listener', id: joined.listener };
  // Whoever brought the files may know them; the letter says so.
  await does.checkIn(study, own, { conditions: ['none'], outside: 'yes' });
  await does.consent(study, own, { agree: 'yes' });
  const sitting = await latestSitting(parts.store.db, joined.listener);
  await does.seat(study, desk, { sitting: sitting?.id ?? '' });
  return { study, isNew: joined.isNew };
}

/** A sitting that goes on in this browser would be hidden by another. */
async function refuseSitting(parts: Parts, listener: ListenerId | null): Promise<void> {
  const sitting = listener && (await latestSitting(parts.store.db, listener));
  if (!sitting || !['arrived', 'checked-in', 'ready', 'seated'].includes(sitting.state)) return;
  const session = await currentSession(parts.store.db, sitting.study_id);
  if (session?.id !== sitting.session_id) return;
  throw new Refusal('conflict', 'You have a sitting under way in this browser. Finish it, or stop it, first.', {
    path: 'first',
    next: { label: 'Go on with it', url: '/listen' },
  });
}

/** As whoever is signed in, unless a listener of the panel goes by that name. */
async function freeAlias(parts: Parts, name: string): Promise<string> {
  const short = name.slice(0, 30).trim() || 'Listener';
  for (let number = 0; ; number++) {
    const alias = number === 0 ? `${short} (quick)` : `${short} (quick ${number + 1})`;
    if (!(await findListenerByAlias(parts.store.db, aliasKey(alias)))) return alias;
  }
}

/** Closes and unseals the quick check whose sitting was finished last in this browser. */
export async function finishQuickCheck(
  parts: Parts,
  steps: QuickSteps,
  staff: Staff,
  listener: ListenerId | null,
): Promise<StudyId> {
  const sitting = listener && (await latestSitting(parts.store.db, listener));
  const study = sitting && (await findStudy(parts.store.db, sitting.study_id));
  if (!study || planOf(study).quick !== true) {
    throw new Refusal('not-found', 'No quick check was done in this browser.', {
      next: { label: 'Begin one', url: '/quick' },
    });
  }
  const desk: Actor = { kind: 'staff', ...staff };
  if (study.state === 'running') {
    await steps.does.close(study.id, desk, { understood: 'yes' });
    steps.forgetKey(study.id);
  }
  const now = await findStudy(parts.store.db, study.id);
  if (now?.state === 'closed')
    await steps.does.unseal(study.id, desk, { passphrase: quickPassphrase(parts, study.id) });
  return study.id;
}
