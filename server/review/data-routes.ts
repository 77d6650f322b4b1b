import { type Request, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { ledgerOf } from '../blinding/ledger';
import { actorName, type Command, perform } from '../command';
import type { Parts } from '../parts';
import { has, holdersOf } from '../roles/holders';
import { commandRights } from '../roles/rights';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { wantsPage } from '../web/errors';
import { fieldOf, inputOf, linesOf, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { type DataAsked, dataOf } from './data-page';
import type { DataPage } from './data-view';
import { exclude, openBlindReview, takeBackExclusion } from './exclude';
import { knowingWords, unsaidKnowing } from './not-blind';

/** The data by code, from closing on; what is left out by people is decided here. */
export function dataRoutes(parts: Parts): Router {
  const { store, views } = parts;
  const router = Router();

  router.get('/studies/:study/review/data', async (req, res) => {
    const study = await studyOf(parts, req);
    const open = /^\d{1,4}$/.test(String(req.query.open)) ? Number(req.query.open) : null;
    res.send(views.page('review/data', await page(req, res, study, open, {}, [])));
  });

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    open: number | null,
    values: Values,
    problems: readonly Problem[],
  ): Promise<DataPage> {
    const stage = stageOf(study);
    const ledger = await ledgerOf(store.db, study.id);
    const actor = actorName({ kind: 'staff', ...signedIn(req) });
    const knows = stage === 'sealed' ? await unsaidKnowing(store.db, study, signedIn(req)) : null;
    const opened = ledger.some((one) => one.kind === 'blind-review-opened' && one.actor === actor);
    const known = stage !== 'sealed' || (opened && knows === null);
    const lines = linesOf(problems, ['target', 'reason', 'why']).map((line) => ({
      ...line,
      field: line.field === 'why' ? 'why' : line.field === null || open === null ? null : `${line.field}-${open}`,
    }));
    const { by } = commandRights[exclude.name] ?? { by: [] };
    const may = by !== 'listener' && has(await holdersOf(store.db, study), signedIn(req).id, by);
    return {
      ...studyFrame(req, res, study, 'review', { title: 'The data, by code', problems: lines }),
      base: `/studies/${study.id}/review`,
      stage,
      why: knows === null ? null : { ...fieldOf(values, problems, 'why'), knows: `${knowingWords[knows]}.` },
      data: known ? dataOf(ledger, { stage, may, open, values, problems }) : null,
    };
  }

  function stageOf({ state }: StudyRow): DataAsked['stage'] {
    if (state === 'closed') return 'sealed';
    if (state === 'unsealed') return 'unsealed';
    if (state === 'signed' || state === 'refused') return 'decided';
    throw new Refusal('wrong-state', 'The data can be looked at once the study is closed.', {
      path: 'state',
      allowed: 'closed, unsealed, signed, refused',
      got: state,
    });
  }

  router.post('/studies/:study/review/data/open', (req, res) => {
    const { why } = inputOf(req.body);
    return change(req, res, openBlindReview, why === undefined ? {} : { why });
  });

  router.post('/studies/:study/review/data/exclude', (req, res) => {
    const { target, reason } = inputOf(req.body);
    return change(req, res, exclude, { target, reason });
  });

  router.post('/studies/:study/review/data/take-back', (req, res) =>
    change(req, res, takeBackExclusion, { target: inputOf(req.body).target }),
  );

  /** Does it and goes back to the page, the listener whose form it was unfolded again. */
  async function change<I>(req: Request, res: Response, command: Command<I>, input: object): Promise<void> {
    const study = await studyOf(parts, req);
    const { listener = '' } = valuesOf(req.body);
    const open = /^\d{1,4}$/.test(listener) ? Number(listener) : null;
    try {
      await perform(parts, command, study.id, { kind: 'staff', ...signedIn(req) }, input);
      const back = open === null ? '' : `?open=${open}#listener-${open}`;
      res.redirect(303, `/studies/${study.id}/review/data${back}`);
    } catch (error) {
      if (!(error instanceof Refusal) || !['target', 'reason', 'why'].includes(error.path) || !wantsPage(req))
        throw error;
      const problems = error.allProblems;
      const again = await page(req, res, study, open, valuesOf(req.body), problems);
      res.status(error.status).send(views.page('review/data', again));
    }
  }

  return router;
}
