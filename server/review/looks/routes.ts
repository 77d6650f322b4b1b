import { Router } from 'express';
import { ledgerOf } from '../../blinding/ledger';
import { perform, planOf } from '../../command';
import type { Parts } from '../../parts';
import { has, holdersOf } from '../../roles/holders';
import { commandRights } from '../../roles/rights';
import { signedIn, studyFrame, studyOf } from '../../study-page';
import { inputOf } from '../../web/forms';
import { Refusal } from '../../web/refusal';
import { look } from './look';
import { looksOf } from './page';
import type { LooksPage } from './view-model';

/** Looks on the way, where the plan has them. */
export function looksRoutes(parts: Parts): Router {
  const { store, views } = parts;
  const router = Router();

  router.get('/studies/:study/review/looks', async (req, res) => {
    const study = await studyOf(parts, req);
    if (study.state !== 'running') {
      throw new Refusal(
        'wrong-state',
        'Looks are for while the study runs. Before that there are no answers, and once it is closed it can be unsealed.',
        {
          path: 'state',
          allowed: 'running',
          got: study.state,
          next: { label: 'Go to the review', url: `/studies/${study.id}/review` },
        },
      );
    }
    const { by } = commandRights[look.name] ?? { by: [] };
    const may = by !== 'listener' && has(await holdersOf(store.db, study), signedIn(req).id, by);
    const page: LooksPage = {
      ...studyFrame(req, res, study, 'review', { title: 'Looks', problems: [] }),
      base: `/studies/${study.id}/review`,
      ...looksOf(await ledgerOf(store.db, study.id), planOf(study), signedIn(req), may),
    };
    res.send(views.page('review/looks', page));
  });

  router.post('/studies/:study/review/looks', async (req, res) => {
    const study = await studyOf(parts, req);
    await perform(parts, look, study.id, { kind: 'staff', ...signedIn(req) }, inputOf(req.body));
    res.redirect(303, `/studies/${study.id}/review/looks`);
  });

  return router;
}
