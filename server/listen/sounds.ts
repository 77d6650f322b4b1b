import { type Request, type Response, Router } from 'express';
import { z } from 'zod';
import { methodOf } from '../../protocols/index';
import type { AudienceId, ListenerId, TrialId } from '../../shared/brands';
import { plays } from '../../shared/plan';
import type { Manifest } from '../../shared/wire/sound';
import { listenerOf } from '../account/listener-identity';
import { type BlindPlan, blindPlanOf } from '../blind-plan';
import { makeSounds, type TrialSounds } from '../blinding/presentation-sound';
import { type Command, perform, servingOf } from '../command';
import { codesOf, currentTrial } from '../live/advance';
import type { Parts } from '../parts';
import { findListener, findMembership } from '../store/listeners';
import type { Db } from '../store/open';
import { findSession } from '../store/sessions';
import { findSitting } from '../store/sittings';
import { findPresentationSound, hasSoundCheck, insertPresentationSounds, presentationSoundsOf } from '../store/sounds';
import { findStudy } from '../store/studies';
import type { SittingRow, StudyRow, TrialRow } from '../store/tables';
import { findTrial, trialsOf } from '../store/trials';
import { valuesOf } from '../web/forms';
import { randomToken } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { sentManifest, sentSound } from '../web/wire-misfit';
import { deviceHere, isElsewhere } from './device';

/**
 * What the page of a listener fetches to play: first which files there are for where it is, then each of them. A file is
 * made when it is asked for, for one presentation alone, under an address drawn for it, and is never kept by anybody on
 * the way: nothing in size, header, address or time goes with what it holds.
 */

interface Asked {
  study: StudyRow;
  sitting: SittingRow;
  trial: TrialRow;
}

const gone = (sentence: string): Refusal =>
  new Refusal('wrong-place', `${sentence} The page shows where you are.`, { path: 'trial' });

/** One sentence for what there isn't and for what is somebody else's: which of the two it is, is not told. */
const notYours = (): Refusal =>
  new Refusal('not-found', 'There is nothing like that to play for you. The page shows where you are.', {
    path: 'trial',
  });

/**
 * Steps at which a page has its sounds: at the rest before a first impression it fetches them already. Once that has
 * begun nobody gets it again: it plays once. What is graded plays meanwhile.
 */
const audible: readonly TrialRow['step'][] = ['resetting', 'fitting', 'starting', 'listening', 'comparing'];
const isAudible = ({ step }: TrialRow, plan: BlindPlan): boolean =>
  audible.includes(step) || (step === 'rating' && methodOf(plan).form.kind === 'grades');

/** The trial that this listener is at. @throws Refusal for any other */
async function trialNow(db: Db, listener: ListenerId, id: string, device: string | null): Promise<Asked> {
  const trial = await findTrial(db, id as TrialId);
  const sitting = trial && (await findSitting(db, trial.sitting_id));
  const study = sitting && (await findStudy(db, sitting.study_id));
  if (!trial || !study || sitting.listener_id !== listener) throw notYours();
  const session = await findSession(db, sitting.session_id);
  const who = await findListener(db, listener);
  if (!session || session.state === 'closed' || sitting.state !== 'seated' || study.state !== 'running') {
    throw gone('Your sitting is not under way.');
  }
  if (session.state === 'paused') throw gone('The session is paused.');
  if (who && isElsewhere(who, sitting, session, device)) throw gone('You go on with another phone.');
  if (currentTrial(await trialsOf(db, sitting.id))?.id !== trial.id) throw gone('This is not the trial you are at.');
  const plan = blindPlanOf(study);
  if (!plays(plan) || !isAudible(trial, plan) || codesOf(trial).length === 0) {
    throw gone('Nothing plays here now.');
  }
  if (!(await hasSoundCheck(db, sitting.id))) throw gone('The check before the first sound comes first.');
  return { study, sitting, trial };
}

/** Which presentations sound at once: on cards all of a trial but what was learnt before, else the one under way. */
function presentationsOf({ trial }: Asked): number[] {
  if (trial.step !== 'comparing') return [trial.presentation];
  return codesOf(trial)
    .map((_, at) => at + 1)
    .slice(trial.presentation - 1);
}

const asking = z.strictObject({
  trial: z.string().min(1).max(40),
  device: z.string().max(200).nullable(),
});

interface Made {
  presentations: number[];
  made: TrialSounds;
}

async function soundsOf(
  parts: Parts,
  asked: Asked,
  presentations: readonly number[],
  keep: 'files' | 'hashes',
): Promise<TrialSounds> {
  const { db } = parts.store;
  const { study, sitting, trial } = asked;
  const session = await findSession(db, sitting.session_id);
  const member = await findMembership(db, study.id, sitting.listener_id);
  if (!session || member?.ordinal == null) throw new Error('A sitting under way has no session or no place.');
  const address = {
    session: session.number,
    audience: member.audience_id as AudienceId,
    ordinal: member.ordinal,
    sitting: sitting.number,
  };
  return makeSounds(db, servingOf(parts, study), parts.sounds, address, trial.ordinal, presentations, keep);
}

/** Draws an address for each file of where the listener is, unless that was done before, and notes what is in it. */
export const prepareSounds: Command<z.infer<typeof asking> & { listener: ListenerId }, Made, Manifest> = {
  name: 'prepare-sounds',
  does: 'fetch the sound',
  states: ['running'],
  who: 'listener',
  input: asking.extend({ listener: z.custom<ListenerId>((id) => typeof id === 'string') }),
  async prepare(parts, _study, { trial, device, listener }) {
    const asked = await trialNow(parts.store.db, listener, trial, device);
    const presentations = presentationsOf(asked);
    return { presentations, made: await soundsOf(parts, asked, presentations, 'hashes') };
  },
  async run(context, { trial: id, device, listener }, { presentations, made }) {
    const { tx, at } = context;
    const asked = await trialNow(tx, listener, id, device);
    if (presentationsOf(asked).join() !== presentations.join()) throw gone('The trial has gone on meanwhile.');
    const there = await presentationSoundsOf(tx, asked.trial.id);
    const fresh = made.sounds
      .filter(({ presentation }) => !there.some((one) => one.presentation === presentation))
      .map(({ presentation, sha256, bytes }) => ({
        token: randomToken(),
        trial_id: asked.trial.id,
        presentation,
        sha256,
        bytes,
        at: at.toISOString(),
      }));
    if (fresh.length > 0) {
      await insertPresentationSounds(tx, fresh);
      await context.record('sound-made', {
        trial: asked.trial.id,
        rate: made.rate,
        frames: made.frames,
        presentations: fresh.map(({ presentation, sha256 }) => ({ presentation, sha256 })),
      });
    }
    const sounds = [...there, ...fresh].filter(({ presentation }) => presentations.includes(presentation));
    return {
      trial: asked.trial.id,
      rate: made.rate,
      frames: made.frames,
      sounds: sounds
        .sort((a, b) => a.presentation - b.presentation)
        .map(({ presentation, token, bytes, sha256 }) => ({
          presentation,
          url: `/listen/sound/${token}` as Manifest['sounds'][number]['url'],
          bytes,
          sha256: sha256 as Manifest['sounds'][number]['sha256'],
        })),
    };
  },
};

/** No browser and nothing between keeps it, and it tells nothing but its length. */
const unkept = (res: Response): Response => res.set('Cache-Control', 'no-store');

export function soundRoutes(parts: Parts): Router {
  const { store } = parts;
  const router = Router();

  async function who(req: Request): Promise<ListenerId> {
    const listener = await listenerOf(store.db, req.headers);
    if (!listener) throw new Refusal('signed-out', 'This phone has not joined a session. Type the code at the desk.');
    return listener.id;
  }

  router.get('/listen/sounds', async (req, res) => {
    const listener = await who(req);
    const { trial = '' } = valuesOf(req.query);
    const device = deviceHere(req, res);
    const asked = await trialNow(store.db, listener, trial, device);
    const actor = { kind: 'listener' as const, id: listener };
    const manifest = await perform(parts, prepareSounds, asked.study.id, actor, { trial, device, listener });
    unkept(res).json(sentManifest(manifest));
  });

  router.get('/listen/sound/:token', async (req, res) => {
    const listener = await who(req);
    const row = await findPresentationSound(store.db, req.params.token);
    if (!row) throw notYours();
    const asked = await trialNow(store.db, listener, row.trial_id, deviceHere(req, res));
    if (!presentationsOf(asked).includes(row.presentation)) throw gone('This sample is not under way.');
    const { sounds } = await soundsOf(parts, asked, [row.presentation], 'files');
    const [sound] = sounds;
    if (!sound?.wav || sound.sha256 !== row.sha256)
      throw new Error('A sound came out otherwise than when it was noted.');
    unkept(res).type('audio/wav').end(sentSound(sound.wav));
  });

  return router;
}
