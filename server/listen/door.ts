import { type Request, type Response, Router } from 'express';
import type { ListenerId } from '../../shared/brands';
import { words } from '../../shared/words/en';
import { endedLink, linkEnded, listenerDays, listenerOf } from '../account/listener-identity';
import { blindPlanOf } from '../blind-plan';
import { type Actor, perform } from '../command';
import { dueOf } from '../live/due';
import { qrSvg } from '../live/qr';
import { refuseKnower } from '../roles/knowers';
import { findListenerByToken, findMembership, hasEnded } from '../store/listeners';
import { findSessionByCode } from '../store/sessions';
import { latestSitting, sittingIn } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { ListenerRow, SessionRow } from '../store/tables';
import { cookieNames, readCookie, setCookie } from '../web/cookies';
import { wantsPage } from '../web/errors';
import { fieldOf, inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import { addressOf, limitFailures, limitRequests } from '../web/limits';
import { linkBase } from '../web/link-base';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { staffOf } from '../web/visitor';
import { deviceHere } from './device';
import { type ListenParts, phoneFrame } from './frame';
import { join } from './join';
import { notNow } from './not-now';
import type { FindSessionPage, HelpPage, JoinPage, NotNowPage, PersonalLinkPage } from './view-models';

/** The door: finding a session, joining it, the personal link, and help for a phone that can't get in. */
export function doorRoutes(parts: ListenParts): Router {
  const { store, views } = parts;
  const router = Router();
  // Five letters are many; whoever tries them all is slowed down.
  const slow = limitFailures({ attempts: 60, minutes: 10 }, addressOf, { label: 'Back', url: '/j' });
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
    const refusal = new Refusal('not-found', message, { path: 'code', allowed: 'the code at the desk' });
    showAgain(req, res, refusal, () => views.page('listen/find-session', findPage(req, res, values, problems)));
  });

  function findPage(
    req: Request,
    res: Response,
    values: Values,
    problems: Parameters<typeof linesOf>[0],
  ): FindSessionPage {
    return {
      ...phoneFrame(req, res, words['find.title'], linesOf(problems, ['code'])),
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
    if (sitting?.session_id === session.id && !stopped) {
      res.redirect(303, '/listen');
      return;
    }
    const undue = listener && (await notNowPage(req, res, session, listener));
    if (undue) {
      res.send(views.page('listen/not-now', undue));
      return;
    }
    const comer = { listener: listener?.id ?? null, staff: staffOf(req)?.id ?? null };
    await refuseKnower(store.db, { id: session.study_id }, comer);
    // The token is there before the form is sent: whoever sends it twice, or never gets the answer, is still the same.
    if ((await heldToken(req)) === null) giveToken(res, randomToken());
    res.send(views.page('listen/join', await joinPage(req, res, session, listener, {}, [])));
  });

  /** The token that this browser holds, be it anybody's yet or not. One that was ended is as good as none. */
  async function heldToken(req: Request): Promise<string | null> {
    return (await linkEnded(store.db, req.headers)) ? null : readCookie(req.headers, cookieNames.listener);
  }

  const giveToken = (res: Response, token: string) =>
    setCookie(res, cookieNames.listener, token, { tls: parts.tls, days: listenerDays });

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
    const { audiences } = blindPlanOf(study);
    const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
    return {
      ...phoneFrame(req, res, words['join.title'], linesOf(problems, ['alias', 'audience', 'seen'])),
      action: `/j/${session.join_code}`,
      alias: listener ? null : fieldOf(values, problems, 'alias'),
      knownAlias: listener?.alias ?? null,
      audiences:
        member || audiences.length === 1
          ? null
          : audiences.map(({ name }, at) => ({ place: at + 1, name, chosen: values.audience === String(at + 1) })),
      audienceError: errorAt('audience'),
      seen: { error: errorAt('seen'), chosen: values.seen === 'yes' || values.seen === 'no' ? values.seen : null },
    };
  }

  /** What a listener reads who can't have a sitting in this session; null for whoever can. */
  async function notNowPage(
    req: Request,
    res: Response,
    session: SessionRow,
    listener: ListenerRow,
  ): Promise<NotNowPage | null> {
    const study = await findStudy(store.db, session.study_id);
    // Whoever has had a seat here comes back to that one.
    if (!study || (await sittingIn(store.db, session.id, listener.id))?.seated_at) return null;
    const why = notNow(listener.alias, await dueOf(store.db, study, listener.id, parts.now()));
    return why && { ...phoneFrame(req, res, why.heading), ...why };
  }

  // A flood of aliases would bury those who are really there.
  const flood = limitRequests(parts.joins ?? { attempts: 120, minutes: 10 }, { label: 'Back', url: '/j' });

  router.post('/j/:code', slow, flood, async (req, res) => {
    const session = await sessionAt(req);
    const listener = await known(req);
    const values = valuesOf(req.body);
    const token = (await heldToken(req)) ?? randomToken();
    const actor: Actor = { kind: 'listener', id: listener?.id ?? ('' as ListenerId) };
    try {
      const { alias, audience, seen } = inputOf(req.body);
      const joined = await perform(parts, join, session.study_id, actor, {
        ...(alias === undefined ? {} : { alias }),
        ...(audience === undefined ? {} : { audience }),
        seen,
        session: session.id,
        token,
        device: deviceHere(req, res),
        staff: staffOf(req)?.id ?? null,
      });
      if (joined.isNew) giveToken(res, token);
      res.redirect(303, joined.isNew ? '/listen/link' : '/listen');
    } catch (error) {
      if (!(error instanceof Refusal) || !wantsPage(req)) throw error;
      const undue = error.path === 'session' && listener ? await notNowPage(req, res, session, listener) : null;
      if (undue) {
        res.status(error.status).send(views.page('listen/not-now', undue));
        return;
      }
      if (!['alias', 'audience', 'seen'].includes(error.path)) throw error;
      const problems = error.allProblems;
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
    const page: PersonalLinkPage = { ...phoneFrame(req, res, words['link.title']), link, qrSvg: await qrSvg(link) };
    res.send(views.page('listen/personal-link', page));
  });

  router.get('/me/:token', slow, async (req, res) => {
    const token = String(req.params.token);
    if (await hasEnded(store.db, tokenHash(token))) throw endedLink();
    if (!(await findListenerByToken(store.db, tokenHash(token)))) {
      throw new Refusal('gone', 'This personal link is not known here. Join with the code at the desk.', {
        next: { label: 'Type the code', url: '/j' },
      });
    }
    giveToken(res, token);
    res.redirect(303, '/listen');
  });

  router.get('/help', (req, res) => {
    const page: HelpPage = { title: words['help.title'], urls: [...new Set([linkBase(req, parts), ...parts.lanUrls])] };
    res.send(views.page('listen/help', page));
  });

  return router;
}
