import { type Request, type RequestHandler, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { listenerOf } from '../account/listener-identity';
import { codesStay, isSingleBlind, perform, stateWords } from '../command';
import type { Parts } from '../parts';
import { sawListeners } from '../roles/clashes';
import { memberships } from '../store/listeners';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { inputOf, showAgain, type Values, valuesOf } from '../web/forms';
import type { Field, ProblemLine } from '../web/page';
import { Refusal } from '../web/refusal';
import { revealCode, revealSession } from './reveal';
import type { RevealedPage, RevealPage, RevealPart } from './view-models';

const fields = ['session', 'code', 'listener', 'reason', 'passphrase', 'understood'];

/** The form that opens one code; null where nothing can be revealed. It may stand beside others, so its ids are its own. */
export async function revealPart(
  parts: Parts,
  req: Request,
  study: StudyRow,
  values: Values = {},
  problems: readonly Problem[] = [],
): Promise<RevealPart | null> {
  if (!revealCode.states.includes(study.state)) return null;
  const { db } = parts.store;
  const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
  const field = (name: string, value = values[name] ?? ''): Field => ({
    id: `reveal-${name}`,
    name,
    value,
    error: errorAt(name),
  });
  const byDay = codesStay(study);
  const here = await listenerOf(db, req.headers);
  // With fresh carriers it is asked only of what is still to be handed over, which the code typed tells.
  const mayEnd = (byDay || errorAt('understood') !== null) && study.state !== 'closed' && !isSingleBlind(study);
  return {
    action: `/studies/${study.id}/reveal`,
    session: field('session', values.session ?? String(await revealSession(db, study))),
    code: field('code'),
    reason: field('reason'),
    passphrase: field('passphrase', ''),
    listeners: byDay
      ? (await memberships(db, study.id)).map(({ listener_id, alias }) => ({
          value: listener_id,
          label: alias,
          chosen: values.listener === listener_id,
        }))
      : null,
    listenerError: errorAt('listener'),
    clash: mayEnd && (await sawListeners(db, study, signedIn(req), here?.id ?? null)),
    clashError: errorAt('understood'),
    consequence: byDay
      ? 'This code stays on its carrier: whoever has seen it can’t run the desk or listen in this study.'
      : 'Whoever has seen it can’t listen in this study. They may go on at the desk if it was handed over already.',
  };
}

/** The page by itself, for whoever has no business with the sheets; and what a code was, once. */
export function revealRoutes(parts: Parts, slow: RequestHandler): Router {
  const { views } = parts;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    values: Values = {},
    problems: readonly Problem[] = [],
  ): Promise<RevealPage> {
    const lines: ProblemLine[] = problems.map((problem) => ({
      ...problem,
      field: fields.includes(problem.path) ? `reveal-${problem.path}` : null,
    }));
    return {
      ...studyFrame(req, res, study, 'prepare', { title: 'Reveal a code', problems: lines }),
      reveal: await revealPart(parts, req, study, values, problems),
      notNow: revealCode.states.includes(study.state)
        ? null
        : study.state === 'draft'
          ? 'This is still a draft: no code was drawn yet.'
          : `This study is ${stateWords[study.state]}: what every code was stands in its record.`,
    };
  }

  router.get('/studies/:study/reveal', async (req, res) => {
    res.send(views.page('prepare/reveal', await page(req, res, await studyOf(parts, req))));
  });

  router.post('/studies/:study/reveal', slow, async (req, res) => {
    const study = await studyOf(parts, req);
    const staff = signedIn(req);
    const here = await listenerOf(parts.store.db, req.headers);
    const { session, code, listener, reason, passphrase, understood } = inputOf(req.body);
    const input = {
      session,
      code,
      reason,
      passphrase,
      ...(listener === undefined ? {} : { listener }),
      ...(understood === undefined ? {} : { understood }),
      here: here?.id ?? null,
    };
    try {
      const told = await perform(parts, revealCode, study.id, { kind: 'staff', ...staff }, input);
      const after = await studyOf(parts, req);
      const { stays, ...sample } = told;
      const shown: RevealedPage = {
        ...studyFrame(req, res, after, 'prepare', { title: `Code ${told.code}` }),
        base: `/studies/${study.id}`,
        ...sample,
        seenBy: staff.name,
        at: utcMinute(parts.now().toISOString()),
        consequence: stays
          ? `This code ${codesStay(after) ? 'stays on its carrier' : 'is still to be handed over'}, so you can’t run the desk or listen in this study unless it is single blind.`
          : 'You may go on at the desk. You can’t listen in this study.',
      };
      res.send(views.page('prepare/revealed', shown));
    } catch (error) {
      if (!(error instanceof Refusal) || !fields.includes(error.path)) throw error;
      const problems = error.allProblems;
      const again = await page(req, res, study, valuesOf(req.body), problems);
      showAgain(req, res, error, () => views.page('prepare/reveal', again));
    }
  });

  return router;
}
