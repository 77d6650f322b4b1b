import { type Request, type Response, Router } from 'express';
import type { ListenerId, StudyId } from '../../shared/brands';
import type { Problem } from '../../shared/problem';
import { words } from '../../shared/words/en';
import { placeTitle } from '../../shared/words/place-title';
import { endedLink, linkEnded, listenerOf } from '../account/listener-identity';
import { blindPlanOf } from '../blind-plan';
import { type Command, perform } from '../command';
import { dueOf } from '../live/due';
import { knowsTooMuch } from '../roles/knowers';
import { findMembership, setDevice } from '../store/listeners';
import { openSessions } from '../store/sessions';
import { latestSitting, openSessionsFor } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { ListenerRow, SessionRow, SittingRow } from '../store/tables';
import { csrfToken } from '../web/csrf';
import { wantsPage } from '../web/errors';
import { inputOf, linesOf } from '../web/forms';
import type { ProblemLine } from '../web/page';
import { Refusal } from '../web/refusal';
import { staffOf } from '../web/visitor';
import { sentReply } from '../web/wire-misfit';
import { handleAct, hereOf, type Visitor } from './act-handler';
import { checkIn, consent, stop } from './arrival';
import { checkInPart } from './arrival-parts';
import { chosenAgain } from './chosen-again';
import { guess, guessedAgain } from './closing-question';
import { deviceHere, goOnHere, isUnderWay } from './device';
import { doorRoutes } from './door';
import { actFromForm, fieldsOf } from './form-act';
import { type ListenParts, phoneFrame } from './frame';
import { historyRoutes } from './history';
import { placeVersion, type Whereabouts } from './place';
import { type SoundCheckSent, soundCheck, soundCheckPart } from './sound-check';
import { soundRoutes } from './sounds';
import { isStrangerWhoKnows } from './stranger';
import type { GradingPart, ListenPage, PlacePart } from './view-models';

/** Everything that a listener sees: the door, the check-in, and the one page of a sitting. */
export function listenRoutes(parts: ListenParts): Router {
  const { store, views } = parts;
  const router = Router();
  // Somebody may always stop, whoever it is.
  router.use('/listen', async (req, _res, next) => {
    const staff = staffOf(req);
    const listener = staff && req.path !== '/stop' ? await listenerOf(store.db, req.headers) : null;
    if (staff && listener && (await isStrangerWhoKnows(store.db, listener, staff.id))) throw knowsTooMuch('');
    next();
  });
  router.use(doorRoutes(parts));
  router.use(historyRoutes(parts));
  const known = (req: Request): Promise<ListenerRow | null> => listenerOf(store.db, req.headers);

  router.get('/listen', async (req, res) => {
    const listener = await known(req);
    if (!listener) {
      if (await linkEnded(store.db, req.headers)) throw endedLink();
      res.redirect(303, '/j');
      return;
    }
    const here = await hereNow(req, res, listener);
    const waiting = !here || here.session.state === 'closed' ? await awaited(listener) : null;
    if (waiting || !here) {
      res.redirect(303, waiting ? `/j/${waiting}` : '/j');
      return;
    }
    res.send(views.page('listen/listen', pageAt(req, res, here)));
  });

  function pageAt(req: Request, res: Response, here: Whereabouts | null, problems: ProblemLine[] = []): ListenPage {
    const part = here?.part ?? { kind: 'closed' };
    return {
      ...phoneFrame(req, res, placeTitle(part.kind), problems),
      version: here ? placeVersion(here.sitting) : 0,
      listener: here?.sitting.listener_id ?? '',
      part,
    };
  }

  const visitor = (req: Request, res: Response): Visitor => ({
    csrf: csrfToken(req, res),
    device: deviceHere(req, res),
  });

  /** Where this listener is, as this browser may show it. The first one to show a sitting is the one it goes on in. */
  async function hereNow(req: Request, res: Response, listener: ListenerRow): Promise<Whereabouts | null> {
    const sitting = await latestSitting(store.db, listener.id);
    const here = sitting ? await hereOf(parts, sitting, visitor(req, res)) : null;
    if (here && listener.device === null && isUnderWay(here.sitting, here.session)) {
      await store.write((tx) => setDevice(tx, listener.id, deviceHere(req, res)));
    }
    return here;
  }

  /**
   * The code of an open session in which this listener has a sitting left, be it too early for it; or null. Whoever sat
   * in a study is expected in the one that goes on from it, too, and joins that at its door.
   */
  async function awaited({ id }: ListenerRow): Promise<string | null> {
    const own = await openSessionsFor(store.db, id);
    for (const session of [...own, ...(await followingSessions(id))]) {
      const study = await findStudy(store.db, session.study_id);
      const due = study && (await dueOf(store.db, study, id, parts.now()));
      if (due && due.left > 0) return session.join_code;
    }
    return null;
  }

  async function followingSessions(listener: ListenerId): Promise<SessionRow[]> {
    const found: SessionRow[] = [];
    for (const session of await openSessions(store.db)) {
      const study = await findStudy(store.db, session.study_id);
      const before = study && blindPlanOf(study).follows?.study;
      const member = before && (await findMembership(store.db, before as StudyId, listener));
      if (member && !(await findMembership(store.db, session.study_id, listener))) found.push(session);
    }
    return found;
  }

  /** The check-in with what was sent and what was wrong with it; as it is where there is none to be shown any more. */
  async function checkInAgain(req: Request, res: Response, problems: readonly Problem[]): Promise<ListenPage> {
    const { listener } = await acting(req);
    const here = await hereNow(req, res, listener);
    if (here?.part.kind !== 'check-in') return pageAt(req, res, here);
    const sent = { conditions: tickedIn(req), outside: inputOf(req.body).outside, problems };
    const fields = problems.map((problem) => ({
      ...problem,
      path: problem.path.replace(/^conditions\..*/, 'conditions'),
    }));
    const part = await checkInPart(store.db, here.sitting, here.part.csrf, sent);
    return pageAt(req, res, { ...here, part }, linesOf(fields, ['conditions', 'outside']));
  }

  /** The closing question with what was sent and what was wrong with it; or where this listener is by now. */
  async function guessAgain(req: Request, res: Response, refusal: Refusal): Promise<ListenPage> {
    const { listener } = await acting(req);
    const here = await hereNow(req, res, listener);
    if (here?.part.kind !== 'guessing') return pageAt(req, res, here);
    const { choice, sure } = inputOf(req.body);
    const all = refusal.allProblems;
    const part = guessedAgain(here.part, { choice, sure, problems: all });
    return pageAt(req, res, { ...here, part }, linesOf(all, ['choice', 'sure']));
  }

  /** The check before the first sound with what was sent and what was wrong with it; or where this listener is by now. */
  async function soundAgain(req: Request, res: Response, sent: SoundCheckSent): Promise<ListenPage> {
    const { listener } = await acting(req);
    const here = await hereNow(req, res, listener);
    if (here?.part.kind !== 'sound-check') return pageAt(req, res, here);
    const fields = sent.problems.map((one) => ({
      ...one,
      path: /^(first|second)_/.test(one.path) ? 'tones' : one.path,
    }));
    const part = soundCheckPart(blindPlanOf(here.study), here.part.csrf, { ...sent, problems: fields });
    return pageAt(req, res, { ...here, part }, linesOf(fields, ['tones', 'connection', 'checks']));
  }

  /** The listener who sends a form, or the way back to the door. */
  async function acting(req: Request): Promise<{ listener: ListenerRow; sitting: SittingRow }> {
    const listener = await known(req);
    const sitting = listener && (await latestSitting(store.db, listener.id));
    if (!listener || !sitting) {
      if (await linkEnded(store.db, req.headers)) throw endedLink();
      throw new Refusal('signed-out', 'This phone has not joined a session. Type the code at the desk.', {
        next: { label: 'Type the code', url: '/j' },
      });
    }
    return { listener, sitting };
  }

  async function arrive<I>(req: Request, command: Command<I>, input: unknown): Promise<void> {
    const { listener, sitting } = await acting(req);
    await perform(parts, command, sitting.study_id, { kind: 'listener', id: listener.id }, input);
  }

  router.post('/listen/check-in', async (req, res) => {
    try {
      await arrive(req, checkIn, { ...inputOf(req.body), conditions: tickedIn(req) });
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || !wantsPage(req)) throw error;
      res.status(error.status).send(views.page('listen/listen', await checkInAgain(req, res, error.problems)));
    }
  });

  router.post('/listen/sound-check', async (req, res) => {
    const sent = inputOf(req.body);
    const checks = sent.checks === undefined ? [] : [sent.checks].flat();
    try {
      await arrive(req, soundCheck, { ...sent, checks });
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || !wantsPage(req)) throw error;
      const page = await soundAgain(req, res, { connection: sent.connection, checks, problems: error.allProblems });
      res.status(error.status).send(views.page('listen/listen', page));
    }
  });

  router.use(soundRoutes(parts));

  router.post('/listen/guess', async (req, res) => {
    try {
      await arrive(req, guess, inputOf(req.body));
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || !wantsPage(req)) throw error;
      res.status(error.status).send(views.page('listen/listen', await guessAgain(req, res, error)));
    }
  });

  router.post('/listen/consent', async (req, res) => {
    await arrive(req, consent, inputOf(req.body));
    res.redirect(303, '/listen');
  });

  router.post('/listen/stop', async (req, res) => {
    await arrive(req, stop, {});
    res.redirect(303, '/listen');
  });

  router.post('/listen/here', async (req, res) => {
    await arrive(req, goOnHere, { ...inputOf(req.body), device: deviceHere(req, res) });
    res.redirect(303, '/listen');
  });

  router.post('/listen/act', async (req, res) => {
    const { listener } = await acting(req);
    const json = Boolean(req.is('application/json'));
    const raw: unknown = json ? req.body : actFromForm(req.body, listener.id, parts.now());
    const reply = await handleAct(parts, listener.id, visitor(req, res), raw, !json);
    if (json || !wantsPage(req)) {
      res.status(reply.ok ? 200 : statusOf(reply.error.code)).json(sentReply(reply));
    } else if (reply.ok && reply.apart) {
      const late = { code: 'too-late', message: words['status.late.text'], path: '', field: null };
      res.send(views.page('listen/listen', pageAt(req, res, await hereNow(req, res, listener), [late])));
    } else if (reply.ok) {
      res.redirect(303, '/listen');
    } else {
      const here = await hereNow(req, res, listener);
      const part = here && chosenAgain(here.part, fieldsOf(req.body));
      const problem = { ...reply.error, field: fieldOfAct(reply.error.path, part) };
      const page = pageAt(req, res, here && part && { ...here, part }, [problem]);
      res.status(statusOf(reply.error.code)).send(views.page('listen/listen', page));
    }
  });

  return router;
}

/** A form sends one ticked box as a text, several as a list, and none not at all. */
const tickedIn = (req: Request): unknown[] => {
  const { conditions } = inputOf(req.body);
  return conditions === undefined ? [] : [conditions].flat();
};

const statusOf = (code: string): number =>
  code === 'unavailable' ? 503 : code === 'bad-input' ? 400 : code === 'not-found' ? 404 : 409;

/** Where on the page that is which an act was wrong about: the answers, a scale by its id, or the first of the scales. */
function fieldOfAct(path: string, part: PlacePart | null): string | null {
  if (path === 'answer') return 'answer';
  if (part?.kind === 'grading') return fieldOfGrade(path, part);
  if (part?.kind !== 'rating' || !/^ratings(\.|$)/.test(path)) return null;
  const scales = part.leaves.flat();
  const field = scales.find(({ id }) => path === `ratings.${id}`) ?? scales[0];
  return field ? `scale-${field.id}` : null;
}

/** The scale or the words of one sample; the first of all where a path names none that is there. */
function fieldOfGrade(path: string, { cards }: GradingPart): string | null {
  if (!/^(?:grades|ticks)(?:\.|$)/.test(path)) return null;
  const fields = cards.flatMap(({ place, leaves, ticks }) => [
    ...leaves.flat().map(({ id }) => ({ path: `grades.${place}.${id}`, field: `grade-${place}-${id}` })),
    ...(ticks ? [{ path: `ticks.${place}`, field: `ticks-${place}` }] : []),
  ]);
  return (fields.find((one) => one.path === path) ?? fields[0])?.field ?? null;
}
