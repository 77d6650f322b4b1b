import { type Request, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { type Command, perform } from '../command';
import type { Parts } from '../parts';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { wantsPage } from '../web/errors';
import { inputOf, linesOf, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { giveRole, takeRoleAway } from './commands';
import { teamPart } from './team-page';
import { rendersRow, teamRows } from './teams';
import type { TeamPage, TeamsPage } from './view-models';

/** Who does what in one study, and what teams of each size can reach. */
export function teamRoutes(parts: Parts): Router {
  const router = Router();
  const { store, views } = parts;

  router.get('/about/teams', (req, res) => {
    const page: TeamsPage = {
      ...staffFrame(req, res, { title: 'How blind can we be?' }),
      renders: rendersRow(),
      teams: teamRows(),
    };
    res.send(views.page('roles/teams', page));
  });

  router.get('/studies/:study/team', async (req, res) => {
    res.send(views.page('roles/team', await teamPage(req, res, {}, [])));
  });

  async function teamPage(
    req: Request,
    res: Response,
    values: Values,
    problems: readonly Problem[],
  ): Promise<TeamPage> {
    const study = await studyOf(parts, req);
    const lines = linesOf(problems, ['singleBlind', 'reason']).map((line) =>
      line.path === 'staff' ? { ...line, field: `staff-${values.role}` } : line,
    );
    return {
      ...studyFrame(req, res, study, 'team', { title: 'Team', problems: lines }),
      base: `/studies/${study.id}`,
      ...(await teamPart(store.db, study, signedIn(req).id, values, problems)),
    };
  }

  const doing = (path: string, command: Command<unknown>) =>
    router.post(`/studies/:study/team/${path}`, async (req, res) => {
      const study = await studyOf(parts, req);
      try {
        await perform(parts, command, study.id, { kind: 'staff', ...signedIn(req) }, inputOf(req.body));
        res.redirect(303, `/studies/${study.id}/team`);
      } catch (error) {
        const shown = error instanceof Refusal && ['staff', 'singleBlind', 'reason'].includes(error.path);
        if (!shown || !wantsPage(req)) throw error;
        const problems = error.allProblems;
        res.status(error.status).send(views.page('roles/team', await teamPage(req, res, valuesOf(req.body), problems)));
      }
    });
  doing('give', giveRole as unknown as Command<unknown>);
  doing('take', takeRoleAway as unknown as Command<unknown>);

  return router;
}
