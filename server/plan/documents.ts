import { type Request, type Response, Router } from 'express';
import { type Plan, planSchema } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { instructionsText } from '../instructions';
import type { Parts } from '../parts';
import { planText } from '../plan-text';
import { holdersOf, roomsFor } from '../roles/holders';
import { listStudies } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { fieldOf, formRefusal, showAgain, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { checkPlan } from './check';
import { createStudy } from './commands';
import { comparePlans } from './compare-plans';
import { withOwnIds } from './own-ids';
import { planNow } from './plan-now';
import { draftFromPlan } from './saved-draft';
import type { ComparePage, ImportPage } from './view-models';

/** A plan as a document: taken away, brought, and held against another. */
export function planDocuments(parts: Parts): Router {
  const { store, views } = parts;
  const router = Router();

  /** @throws Refusal while a draft isn't a plan yet */
  function wholePlan(study: StudyRow): Plan {
    const { plan, problems } = planNow(study);
    if (plan) return plan;
    throw new Refusal(
      'wrong-state',
      `The plan of “${study.title}” isn’t complete yet: ${problems[0]?.message ?? 'something is missing.'}`,
      {
        path: problems[0]?.path ?? '',
        next: { label: 'To the plan', url: `/studies/${study.id}/plan` },
      },
    );
  }

  router.get('/studies/:study/plan/plan.json', async (req, res) => {
    const study = await studyOf(parts, req);
    res
      .attachment(`plan-${study.id}.json`)
      .type('json')
      .send(`${JSON.stringify(wholePlan(study), null, 2)}\n`);
  });

  router.get('/studies/:study/plan/plan.txt', async (req, res) => {
    const study = await studyOf(parts, req);
    res
      .attachment(`plan-${study.id}.txt`)
      .type('text/plain')
      .send(planText(wholePlan(study)));
  });

  router.get('/studies/:study/plan/listeners.txt', async (req, res) => {
    const study = await studyOf(parts, req);
    res
      .attachment(`listeners-${study.id}.txt`)
      .type('text/plain')
      .send(instructionsText(wholePlan(study)));
  });

  const importPage = (req: Request, res: Response, values: Values, problems: readonly Problem[]): ImportPage => ({
    ...staffFrame(req, res, {
      title: 'Bring a plan',
      // All of them are about what was pasted, wherever in it they are.
      problems: problems.map((problem) => ({ ...problem, field: 'plan' })),
    }),
    text: { ...fieldOf(values, problems, 'plan'), error: textError(problems) },
    wrong: problems.filter(({ path }) => path !== 'plan').map(({ path, message }) => ({ path, message })),
  });

  router.get('/plans/bring', (req, res) => {
    res.send(views.page('plan/import', importPage(req, res, {}, [])));
  });

  router.post('/plans/bring', async (req, res) => {
    const values = valuesOf(req.body);
    const read = planIn(values.plan ?? '');
    if (!read.plan) {
      showAgain(req, res, formRefusal(read.problems), () =>
        views.page('plan/import', importPage(req, res, values, read.problems)),
      );
      return;
    }
    const id = await createStudy(parts, signedIn(req), draftFromPlan(withOwnIds(read.plan), null));
    res.redirect(303, `/studies/${id}/plan`);
  });

  router.get('/studies/:study/plan/compare', async (req, res) => {
    const study = await studyOf(parts, req);
    const others = await othersOf(req, study);
    const wanted = String(valuesOf(req.query).with ?? '');
    const other = others.find(({ id }) => id === wanted);
    if (wanted !== '' && !other) {
      throw new Refusal('not-found', 'There is no such study whose plan you may read.', { path: 'with' });
    }
    const page: ComparePage = {
      ...studyFrame(req, res, study, 'plan', { title: 'Compare plans' }),
      base: `/studies/${study.id}`,
      others: others.map(({ id, title }) => ({ value: id, label: title, hint: null, chosen: id === wanted })),
      own: study.title,
      compared: other ? { title: other.title, differences: comparePlans(wholePlan(study), wholePlan(other)) } : null,
    };
    res.send(views.page('plan/compare', page));
  });

  /** Other studies whose plan this person may read. */
  async function othersOf(req: Request, study: StudyRow): Promise<StudyRow[]> {
    const staff = signedIn(req).id;
    const found: StudyRow[] = [];
    for (const one of await listStudies(store.db)) {
      if (one.id === study.id) continue;
      if (roomsFor(await holdersOf(store.db, one), staff, one).includes('plan')) found.push(one);
    }
    return found;
  }

  return router;
}

/** At the text stands what is wrong with it as a text; what stands against a plan is listed below, each by its path. */
const textError = (problems: readonly Problem[]): string | null =>
  problems.length === 0
    ? null
    : (problems.find(({ path }) => path === 'plan')?.message ?? 'This can’t become a draft yet. Why is listed below.');

/** A plan out of what was pasted; or what stands against it, each with the path of its field in the document. */
export function planIn(text: string): { plan: Plan; problems: [] } | { plan: null; problems: Problem[] } {
  const wrong = (code: string, message: string) => ({ plan: null, problems: [{ code, path: 'plan', message }] });
  if (text.trim() === '') return wrong('missing', 'Paste a plan, or choose its file.');
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch {
    return wrong('not-json', 'This is not JSON. A plan is taken away from the page of a plan, as a file.');
  }
  if (typeof raw !== 'object' || raw === null || Array.isArray(raw) || !('format' in raw)) {
    return wrong('not-a-plan', 'This is JSON, but no plan: it has no “format”.');
  }
  const format = (raw as { format: unknown }).format;
  if (format !== planSchema.shape.format.value) {
    return wrong(
      'not-a-plan',
      `This is “${typeof format === 'string' ? format.slice(0, 60) : typeof format}”, and a plan is “${planSchema.shape.format.value}”.`,
    );
  }
  return checkPlan(raw);
}
