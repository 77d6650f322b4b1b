import { Router } from 'express';
import { planOf } from '../../command';
import type { Parts } from '../../parts';
import { studyOf } from '../../study-page';
import { Refusal } from '../../web/refusal';
import type { Computings } from './computings';
import { computingPart } from './page';

/** How far a verdict's computing is, stopping it, and beginning anew. */
export function computingRoutes(parts: Parts, computings: Computings): Router {
  const router = Router();

  /** Fetched again and again by the page. */
  router.get('/studies/:study/review/computing', async (req, res) => {
    const study = await studyOf(parts, req);
    const found = computings.progressOf(study.id);
    if (study.state === 'draft') throw new Refusal('not-found', 'Nothing is computed of a draft.');
    const part = computingPart(planOf(study), `/studies/${study.id}/review`, found);
    res.send(parts.views.part('review/parts/computing', part));
  });

  router.post('/studies/:study/review/computing/stop', async (req, res) => {
    const study = await studyOf(parts, req);
    await computings.stop(study.id);
    res.redirect(303, `/studies/${study.id}/review`);
  });

  router.post('/studies/:study/review/computing/again', async (req, res) => {
    const study = await studyOf(parts, req);
    computings.again(study.id);
    res.redirect(303, `/studies/${study.id}/review`);
  });

  return router;
}
