import { type Request, type Response, Router } from 'express';
import type { ListenerId } from '../../shared/brands';
import { checkInOptions, consentCautions, consentPurposes, consentVersion, words } from '../../shared/words/en';
import { listenerDays, listenerOf } from '../account/listener-identity';
import { type Actor, type Command, perform, planOf } from '../command';
import { qrSvg } from '../live/qr';
import type { Parts } from '../parts';
import { findListenerByToken, findMembership } from '../store/listeners';
import { findSessionByCode } from '../store/sessions';
import { latestSitting, openSessionsFor, seatedSittings } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { ListenerRow, SessionRow } from '../store/tables';
import { cookieNames, readCookie, setCookie } from '../web/cookies';
import { csrfToken } from '../web/csrf';
import { fieldOf, linesOf, type Values, valuesOf } from '../web/forms';
import { addressOf, limitFailures } from '../web/limits';
import { linkBase } from '../web/link-base';
import type { PhoneFrame, ProblemLine } from '../web/page';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { staffOf } from '../web/visitor';
import { handleAct } from './act-handler';
import { checkIn, consent, stop } from './arrival';
import { actFromForm } from './form-act';
import { join } from './join';
import { placeVersion, tipWords, whereabouts } from './place';
import type {
  CheckInPage,
  ConsentPage,
  FindSessionPage,
  HelpPage,
  JoinPage,
  ListenPage,
  PersonalLinkPage,
} from './view-models';

/** Everything that a listener sees: the door, the check-in, and the one page of a sitting. */
export function listenRoutes(parts: Parts & { lanUrls: readonly string[] }): Router {
  const { store, views } = parts;
  const router = Router();
  // Five letters are many; whoever tries them all is slowed down.
  const slow = limitFailures({ attempts: 60, minutes: 10 }, addressOf, { label: 'Back', url: '/j' });

  const frame = (req: Request, res: Response, title: string, problems: ProblemLine[] = []): PhoneFrame => ({
    title,
    csrf: csrfToken(req, res),
    problems,
  });
  const known = (req: Request): Promise<ListenerRow | null> => listenerOf(store.db, req.headers);

  router.get('/j', (req, res) => res.send(views.page('listen/find-session', findPage(req, res, {}, []))));

  router.post('/j', slow, async (req, res) => {
    const values = valuesOf(req.body);
    const code = (values.code ?? '').toUpperCase().replace(/[^A-Z]/g, '');
    const session = await findSessionByCode(store.db, code);
    if (session && session.state !== 'closed') {
      res.redirect(303, `/j/${code}`);
      return;
    }
    const message =
      code === ''
        ? 'Type the code that stands at the desk.'
        : 'No session is open under this code. Look at the desk again.';
    const problems = [{ code: 'not-found', message, path: 'code', allowed: 'the code at the desk' }];
    res.status(404).send(views.page('listen/find-session', findPage(req, res, values, problems)));
  });

  function findPage(
    req: Request,
    res: Response,
    values: Values,
    problems: Parameters<typeof linesOf>[0],
  ): FindSessionPage {
    return {
      ...frame(req, res, words['find.title'], linesOf(problems, ['code'])),
      code: fieldOf(values, problems, 'code'),
    };
  }

  const sessionAt = async (req: Request): Promise<SessionRow> => {
    const session = await findSessionByCode(store.db, String(req.params.code).toUpperCase());
    if (session && session.state !== 'closed') return session;
    throw new Refusal('gone', 'This session is closed, or the code is wrong. Ask at the desk for the present code.', {
      next: { label: 'Type the code', url: '/j' },
    });
  };

  router.get('/j/:code', slow, async (req, res) => {
    const session = await sessionAt(req);
    const listener = await known(req);
    const sitting = listener && (await latestSitting(store.db, listener.id));
    const stopped = sitting?.state === 'out' && sitting.seated_at === null;
    if (sitting?.session_id === session.id && !stopped) res.redirect(303, '/listen');
    else res.send(views.page('listen/join', await joinPage(req, res, session, listener, {}, [])));
  });

  async function joinPage(
    req: Request,
    res: Response,
    session: SessionRow,
    listener: ListenerRow | null,
    values: Values,
    problems: Parameters<typeof linesOf>[0],
  ): Promise<JoinPage> {
    const study = await findStudy(store.db, session.study_id);
    if (!study) throw new Error('A session has no study.');
    const member = listener && (await findMembership(store.db, study.id, listener.id));
    const { audiences } = planOf(study);
    const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
    return {
      ...frame(req, res, words['join.title'], linesOf(problems, ['alias', 'audience', 'seen'])),
      action: `/j/${session.join_code}`,
      alias: listener ? null : fieldOf(values, problems, 'alias'),
      knownAlias: listener?.alias ?? null,
      audiences:
        member || audiences.length === 1
          ? null
          : audiences.map(({ id, name }) => ({ id, name, chosen: values.audience === id })),
      audienceError: errorAt('audience'),
      seen: { error: errorAt('seen'), chosen: values.seen === 'yes' || values.seen === 'no' ? values.seen : null },
    };
  }

  router.post('/j/:code', slow, async (req, res) => {
    const session = await sessionAt(req);
    const listener = await known(req);
    const values = valuesOf(req.body);
    const token = randomToken();
    const actor: Actor = { kind: 'listener', id: listener?.id ?? ('' as ListenerId) };
    try {
      const { alias, audience, seen } = values;
      const joined = await perform(parts, join, session.study_id, actor, {
        ...(alias === undefined ? {} : { alias }),
        ...(audience === undefined ? {} : { audience }),
        seen,
        session: session.id,
        token,
        staff: staffOf(req)?.id ?? null,
      });
      if (joined.isNew) setCookie(res, cookieNames.listener, token, { tls: parts.tls, days: listenerDays });
      res.redirect(303, joined.isNew ? '/listen/link' : '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || !['alias', 'audience', 'seen'].includes(error.path)) throw error;
      const problems = error.problems.length > 0 ? error.problems : [error.toJSON().error];
      const page = await joinPage(req, res, session, listener, values, problems);
      res.status(error.status).send(views.page('listen/join', page));
    }
  });

  router.get('/listen/link', async (req, res) => {
    const token = readCookie(req.headers, cookieNames.listener);
    if (!token || !(await known(req))) {
      res.redirect(303, '/j');
      return;
    }
    const link = `${linkBase(req, parts)}/me/${token}`;
    const page: PersonalLinkPage = { ...frame(req, res, words['link.title']), link, qrSvg: await qrSvg(link) };
    res.send(views.page('listen/personal-link', page));
  });

  router.get('/me/:token', slow, async (req, res) => {
    const token = String(req.params.token);
    if (!(await findListenerByToken(store.db, tokenHash(token)))) {
      throw new Refusal('gone', 'This personal link is not known here. Join with the code at the desk.', {
        next: { label: 'Type the code', url: '/j' },
      });
    }
    setCookie(res, cookieNames.listener, token, { tls: parts.tls, days: listenerDays });
    res.redirect(303, '/listen');
  });

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
        ...frame(req, res, words['consent.title']),
        version: consentVersion,
        cautions: [...consentCautions],
        purposes: [...consentPurposes],
        tips: tipWords(planOf(here.study)),
      };
      res.send(views.page('listen/consent', page));
    } else {
      const page: ListenPage = {
        ...frame(req, res, words['app.name']),
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
      ...frame(req, res, words['check-in.title'], linesOf(problems, ['hearing', 'health'])),
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
    await perform(parts, command, study, { kind: 'listener', id: listener.id }, valuesOf(req.body));
  }

  router.post('/listen/check-in', async (req, res) => {
    try {
      await arrive(req, checkIn);
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input') throw error;
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
    const reply = await handleAct(parts, listener.id, csrfToken(req, res), raw);
    if (json) {
      res.status(reply.ok ? 200 : statusOf(reply.error.code)).json(reply);
    } else if (reply.ok) {
      res.redirect(303, '/listen');
    } else {
      const here = await whereabouts(store.db, listener.id, csrfToken(req, res));
      const page: ListenPage = {
        ...frame(req, res, words['app.name'], [
          { ...reply.error, field: reply.error.path === 'answer' ? 'answer' : null },
        ]),
        version: here ? placeVersion(here.sitting) : 0,
        part: here?.part ?? { kind: 'closed' },
      };
      res.status(statusOf(reply.error.code)).send(views.page('listen/listen', page));
    }
  });

  router.get('/help', (req, res) => {
    const page: HelpPage = { title: words['help.title'], urls: [...new Set([linkBase(req, parts), ...parts.lanUrls])] };
    res.send(views.page('listen/help', page));
  });

  return router;
}

const statusOf = (code: string): number =>
  code === 'unavailable' ? 503 : code === 'bad-input' ? 400 : code === 'not-found' ? 404 : 409;
