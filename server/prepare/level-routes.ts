import { type Request, type Response, Router } from 'express';
import { levelsCount, type Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { ledgerBodies } from '../blinding/ledger';
import { type Command, perform } from '../command';
import { type LevelProblem, levelProblemWords, type UnitNow, uncoveredLevels, unitsNow } from '../level-problems';
import type { Parts } from '../parts';
import { unitLevels } from '../store/levels';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { wantsPage } from '../web/errors';
import { inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { noteLevel, noteRework } from './level-commands';
import { historyOf, levelFields, levelForm, levelRow, levelRules, reworkFields, reworkForm } from './level-page';
import { prepareNav } from './nav';
import type { PlanNow } from './sound-routes';
import type { LevelsPage } from './view-models';

const fields: readonly string[] = [...levelFields, ...reworkFields];

/** What units measure, by ear, and what of it must be signed for. */
export function levelRoutes(parts: Parts, planNow: PlanNow): Router {
  const { store, views } = parts;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    values: Values = {},
    problems: readonly Problem[] = [],
  ): Promise<LevelsPage> {
    const base = `/studies/${study.id}`;
    const { plan } = planNow(study);
    const measures = plan !== null && levelsCount(plan);
    const units = measures ? await unitsNow(store.db, study.id, plan, parts.now()) : [];
    const kept = await unitLevels(store.db, study.id);
    const open = measures && noteLevel.states.includes(study.state);
    const today = parts.now().toISOString().slice(0, 10);
    return {
      ...studyFrame(req, res, study, 'prepare', {
        title: 'Levels',
        problems: linesOf(problems, fields),
        notice: noticeOf(req),
      }),
      nav: prepareNav(req, study, plan, 'levels'),
      base,
      notNow: notNowOf(plan, base),
      rules: measures ? levelRules(plan) : [],
      rows: measures ? units.map((unit) => levelRow(plan, unit)) : [],
      uncovered: open ? (await uncoveredLevels(store.db, study.id, plan, parts.now())).map(({ words }) => words) : [],
      form: open ? levelForm(base, units, kept, today, values, problems) : null,
      rework: open ? reworkForm(base, units, today, values, problems) : null,
      history: historyOf(units, kept),
      reworks: await reworksOf(study),
      deviations: await deviationsOf(study, units),
    };
  }

  const noticeOf = (req: Request): string | null => {
    const { done } = valuesOf(req.query);
    return done === 'level' ? 'The level is noted.' : done === 'rework' ? 'That is noted. Measure it anew.' : null;
  };

  const notNowOf = (plan: Plan | null, base: string): LevelsPage['notNow'] => {
    const next = { label: 'Look at the plan', url: `${base}/plan` };
    if (!plan) return { words: 'The plan is not complete yet. Which units there are is known once it is.', next };
    return levelsCount(plan) ? null : { words: 'By its plan this study plays nothing through units.', next };
  };

  const by = (actor: string): string => actor.replace(/^staff:/, '');

  const reworksOf = async (study: StudyRow): Promise<LevelsPage['reworks']> =>
    (await ledgerBodies(store.db, study.id, ['unit-reworked'])).map(({ actor, body }) => ({
      serial: String(body.serial),
      on: String(body.on),
      note: String(body.note),
      by: by(actor),
    }));

  const deviationsOf = async (study: StudyRow, units: readonly UnitNow[]): Promise<LevelsPage['deviations']> =>
    (await ledgerBodies(store.db, study.id, ['level-deviation'])).map(({ at, actor, body }) => ({
      reason: String(body.reason),
      by: by(actor),
      at: utcMinute(at),
      of: (body.of as LevelProblem[]).map((one) => levelProblemWords(one, units)),
    }));

  router.get('/studies/:study/levels', async (req, res) => {
    res.send(views.page('prepare/levels', await page(req, res, await studyOf(parts, req))));
  });

  const post = (path: string, names: readonly string[], command: Command<never>, done: string) =>
    router.post(path, async (req, res) => {
      const study = await studyOf(parts, req);
      const { plan } = planNow(study);
      if (!plan) throw new Refusal('conflict', 'The plan is not complete yet. Complete it first.', { path: 'plan' });
      const sent = inputOf(req.body);
      const typed = Object.fromEntries(
        names.filter((name) => sent[name] !== undefined).map((name) => [name, sent[name]]),
      );
      try {
        const actor = { kind: 'staff' as const, ...signedIn(req) };
        await perform(parts, command, study.id, actor, { ...typed, plan, source: study.plan });
      } catch (error) {
        if (!(error instanceof Refusal) || !names.includes(error.path)) throw error;
        const again = await page(req, res, study, valuesOf(req.body), error.allProblems);
        showAgain(req, res, error, () => views.page('prepare/levels', again));
        return;
      }
      if (wantsPage(req)) res.redirect(303, `/studies/${study.id}/levels?done=${done}`);
      else res.json({ ok: true });
    });

  post('/studies/:study/levels/note', levelFields, noteLevel as unknown as Command<never>, 'level');
  post('/studies/:study/levels/rework', reworkFields, noteRework as unknown as Command<never>, 'rework');
  return router;
}
