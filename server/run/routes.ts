import { type Request, type Response, Router } from 'express';
import { deskSay } from '../../shared/words/desk';
import { type Command, perform } from '../command';
import type { Parts } from '../parts';
import { currentSession } from '../store/sessions';
import { sittingsOf } from '../store/sittings';
import type { StudyRow } from '../store/tables';
import { trialsOfSession } from '../store/trials';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { csrfToken } from '../web/csrf';
import { wantsPage } from '../web/errors';
import { inputOf } from '../web/forms';
import { linkBase } from '../web/link-base';
import { Refusal } from '../web/refusal';
import { progressOf } from './desk-hands';
import { deskView } from './desk-view';
import { handOver, takeBack } from './hand-over';
import { goSingleBlind, noteIncident, voidTrial } from './mishaps';
import { panelRoutes } from './panel-routes';
import { checkInAgain, seat, seatAgain, seatOut } from './seats';
import { closeSession, openSession, pauseSession, resumeSession } from './sessions';
import type { CloseSessionPage, DeskPage } from './view-models';

export const deskCommands = [
  openSession,
  pauseSession,
  resumeSession,
  closeSession,
  seat,
  seatOut,
  seatAgain,
  checkInAgain,
  handOver,
  takeBack,
  voidTrial,
  noteIncident,
  goSingleBlind,
] as unknown as readonly Command<unknown>[];

/** The desk: its page, the part that is fetched anew, and one form for each command. */
export function runRoutes(parts: Parts & { lanUrls: readonly string[] }): Router {
  const router = Router();

  const desk = async (req: Request, res: Response, study: StudyRow) =>
    deskView(parts, study, signedIn(req).id, csrfToken(req, res), {
      joinBase: linkBase(req, parts),
      others: parts.lanUrls.filter((url) => url !== linkBase(req, parts)),
    });

  router.get('/studies/:study/run', async (req, res) => {
    const study = await studyOf(parts, req);
    const page: DeskPage = {
      ...studyFrame(req, res, study, 'run', { title: deskSay('title.run') }),
      desk: await desk(req, res, study),
    };
    res.send(parts.views.page('run/desk', page));
  });

  router.get('/studies/:study/run/part', async (req, res) => {
    res.send(parts.views.part('run/parts/desk', await desk(req, res, await studyOf(parts, req))));
  });

  for (const command of deskCommands) {
    router.post(`/studies/:study/run/${command.name}`, async (req, res) => {
      const study = await studyOf(parts, req);
      const { understood, ...input } = inputOf(req.body);
      if (command.name === 'close-session' && understood !== 'yes') {
        const asking = await unfinished(req, res, study);
        if (asking && !wantsPage(req)) {
          throw new Refusal('conflict', 'Sittings are under way. Send understood=yes to cut them.', {
            path: 'understood',
            allowed: 'yes',
          });
        }
        if (asking) {
          res.send(parts.views.page('run/close-session', asking));
          return;
        }
      }
      const { id, name } = signedIn(req);
      await perform(parts, command, study.id, { kind: 'staff', id, name }, input);
      if (req.get('x-part') === '1') {
        res.send(parts.views.part('run/parts/desk', await desk(req, res, await studyOf(parts, req))));
      } else if (wantsPage(req)) {
        res.redirect(303, `/studies/${study.id}/run`);
      } else {
        res.json({ ok: true });
      }
    });
  }

  /** The question before a session is closed with sittings under way; null when there are none. */
  async function unfinished(req: Request, res: Response, study: StudyRow): Promise<CloseSessionPage | null> {
    const session = await currentSession(parts.store.db, study.id);
    if (!session) return null;
    const sittings = await sittingsOf(parts.store.db, session.id);
    const trials = await trialsOfSession(parts.store.db, session.id);
    const open = sittings.filter(({ state }) => state !== 'finished' && state !== 'postponed');
    if (open.length === 0) return null;
    return {
      ...studyFrame(req, res, study, 'run', { title: deskSay('title.close') }),
      base: `/studies/${study.id}`,
      number: session.number,
      unfinished: open.map((sitting) => ({
        seat: sitting.seat,
        alias: sitting.alias,
        progress:
          sitting.seated_at === null
            ? deskSay('progress.unseated')
            : progressOf(trials.filter((trial) => trial.sitting_id === sitting.id)),
      })),
    };
  }

  router.use(panelRoutes(parts));

  router.all('/studies/:study/run/:other', () => {
    throw new Refusal('not-found', 'The desk has no such page.');
  });
  return router;
}
