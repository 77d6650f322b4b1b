import { type Request, type Response, Router } from 'express';
import { checkInOptions, consentCautions, consentPurposes, consentVersion, words } from '../../shared/words/en';
import { listenerOf } from '../account/listener-identity';
import { type Command, perform, planOf } from '../command';
import { latestSitting, openSessionsFor, seatedSittings } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { ListenerRow, SessionRow } from '../store/tables';
import { csrfToken } from '../web/csrf';
import { wantsPage } from '../web/errors';
import { inputOf, linesOf, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { handleAct } from './act-handler';
import { checkIn, consent, stop } from './arrival';
import { doorRoutes } from './door';
import { actFromForm } from './form-act';
import { type ListenParts, phoneFrame } from './frame';
import { placeVersion, tipWords, whereabouts } from './place';
import type { CheckInPage, ConsentPage, ListenPage } from './view-models';

/** Everything that a listener sees: the door, the check-in, and the one page of a sitting. */
export function listenRoutes(parts: ListenParts): Router {
  const { store, views } = parts;
  const router = Router();
  router.use(doorRoutes(parts));
  const known = (req: Request): Promise<ListenerRow | null> => listenerOf(store.db, req.headers);

  router.get('/listen', async (req, res) => {
    const listener = await known(req);
    if (!listener) {
      res.redirect(303, '/j');
      return;
    }
    const here = await whereabouts(store.db, listener.id, csrfToken(req, res));
    const waiting = !here || here.session.state === 'closed' ? await awaited(listener) : null;
    if (waiting || !here) {
      res.redirect(303, waiting ? `/j/${waiting}` : '/j');
      return;
    }
    if (here.sitting.state === 'arrived' && here.session.state !== 'closed') {
      res.send(views.page('listen/check-in', checkInPage(req, res, {}, [])));
    } else if (here.sitting.state === 'checked-in' && here.session.state !== 'closed') {
      const page: ConsentPage = {
        ...phoneFrame(req, res, words['consent.title']),
        version: consentVersion,
        cautions: [...consentCautions],
        purposes: [...consentPurposes],
        tips: tipWords(planOf(here.study)),
      };
      res.send(views.page('listen/consent', page));
    } else {
      const page: ListenPage = {
        ...phoneFrame(req, res, words['app.name']),
        version: placeVersion(here.sitting),
        part: here.part ?? { kind: 'closed' },
      };
      res.send(views.page('listen/listen', page));
    }
  });

  /** The code of an open session in which this listener has a sitting left, or null. */
  async function awaited(listener: ListenerRow): Promise<string | null> {
    for (const session of await openSessionsFor(store.db, listener.id)) {
      const study = await findStudy(store.db, session.study_id);
      const had = await seatedSittings(store.db, session.study_id, listener.id);
      if (study && had.length < planOf(study).sessions.count) return session.join_code;
    }
    return null;
  }

  function checkInPage(
    req: Request,
    res: Response,
    values: Values,
    problems: Parameters<typeof linesOf>[0],
  ): CheckInPage {
    const question = <Q extends keyof typeof checkInOptions>(id: Q): CheckInPage['questions'][number] => ({
      id,
      legend: words[`check-in.${id}`],
      options: checkInOptions[id].map((value) => ({
        value,
        label: (words as Record<string, string>)[`check-in.${id}.${value}`] ?? value,
        chosen: values[id] === value,
      })),
      error: problems.find((problem) => problem.path === id)?.message ?? null,
    });
    return {
      ...phoneFrame(req, res, words['check-in.title'], linesOf(problems, ['hearing', 'health'])),
      questions: [question('hearing'), question('health')],
    };
  }

  /** The listener who sends a form, or the way back to the door. */
  async function acting(req: Request): Promise<{ listener: ListenerRow; study: SessionRow['study_id'] }> {
    const listener = await known(req);
    const sitting = listener && (await latestSitting(store.db, listener.id));
    if (!listener || !sitting) {
      throw new Refusal('signed-out', 'This phone has not joined a session. Type the code at the desk.', {
        next: { label: 'Type the code', url: '/j' },
      });
    }
    return { listener, study: sitting.study_id };
  }

  async function arrive<I>(req: Request, command: Command<I>): Promise<void> {
    const { listener, study } = await acting(req);
    await perform(parts, command, study, { kind: 'listener', id: listener.id }, inputOf(req.body));
  }

  router.post('/listen/check-in', async (req, res) => {
    try {
      await arrive(req, checkIn);
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || !wantsPage(req)) throw error;
      const page = checkInPage(req, res, valuesOf(req.body), error.problems);
      res.status(error.status).send(views.page('listen/check-in', page));
    }
  });

  router.post('/listen/consent', async (req, res) => {
    await arrive(req, consent);
    res.redirect(303, '/listen');
  });

  router.post('/listen/stop', async (req, res) => {
    const { listener, study } = await acting(req);
    await perform(parts, stop, study, { kind: 'listener', id: listener.id }, {});
    res.redirect(303, '/listen');
  });

  router.post('/listen/act', async (req, res) => {
    const { listener } = await acting(req);
    const json = Boolean(req.is('application/json'));
    const raw: unknown = json ? req.body : actFromForm(valuesOf(req.body), listener.id, parts.now());
    const reply = await handleAct(parts, listener.id, csrfToken(req, res), raw, !json);
    if (json || !wantsPage(req)) {
      res.status(reply.ok ? 200 : statusOf(reply.error.code)).json(reply);
    } else if (reply.ok) {
      res.redirect(303, '/listen');
    } else {
      const here = await whereabouts(store.db, listener.id, csrfToken(req, res));
      const page: ListenPage = {
        ...phoneFrame(req, res, words['app.name'], [
          { ...reply.error, field: reply.error.path === 'answer' ? 'answer' : null },
        ]),
        version: here ? placeVersion(here.sitting) : 0,
        part: here?.part ?? { kind: 'closed' },
      };
      res.status(statusOf(reply.error.code)).send(views.page('listen/listen', page));
    }
  });

  return router;
}

const statusOf = (code: string): number =>
  code === 'unavailable' ? 503 : code === 'bad-input' ? 400 : code === 'not-found' ? 404 : 409;
