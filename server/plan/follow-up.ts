import { Router } from 'express';
import { planLimits } from '../../shared/plan';
import { answersAreIn } from '../../shared/states';
import { planOf, stateWords } from '../command';
import type { Parts } from '../parts';
import { signedIn, studyOf } from '../study-page';
import { Refusal } from '../web/refusal';
import { createStudy } from './commands';
import { draftFromPlan } from './saved-draft';

const added = ', follow-up';

/** A study that goes on from another: a new draft of its plan, which names it. */
export function followUpRoutes(parts: Parts): Router {
  const router = Router();
  router.post('/studies/:study/follow-up', async (req, res) => {
    const study = await studyOf(parts, req);
    if (!answersAreIn.includes(study.state) || study.plan_hash === null) {
      throw new Refusal(
        'wrong-state',
        `This study is ${stateWords[study.state]}. You can plan a follow-up only once it is closed.`,
        { path: 'state', allowed: answersAreIn.join(', '), got: study.state },
      );
    }
    const draft = draftFromPlan(planOf(study), { study: study.id, planHash: study.plan_hash });
    const title = draft.title.slice(0, planLimits.title - added.length) + added;
    const id = await createStudy(parts, signedIn(req), { ...draft, title });
    res.redirect(303, `/studies/${id}/plan`);
  });
  return router;
}
