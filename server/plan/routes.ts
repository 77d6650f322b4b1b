import { type Request, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { answersAreIn, sittingGoesOn } from '../../shared/states';
import { ledgerBodies } from '../blinding/ledger';
import { perform, planOf } from '../command';
import type { Parts } from '../parts';
import { planRows } from '../plan-rows';
import { blindLabel, blindWeakness, handlingWords } from '../plan-words';
import { listStudies } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf, studyStateWords } from '../study-page';
import { utcMinute } from '../time-words';
import { formRefusal, inputOf, linesOf, showAgain, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { createStudy, lockPlan, savePlan } from './commands';
import { type Draft, draftFromForm } from './draft';
import { changeParts, tooManyParts } from './draft-parts';
import { findsOfDraft, hasField, openOf, planPage } from './plan-page';
import { draftFrom, presetGroups, presets } from './presets';
import { openDraft } from './saved-draft';
import type { HomePage, LockedPlanPage, NewStudyPage, TeamsPage } from './view-models';

const nextStep: Record<StudyRow['state'], { label: string; tab: string }> = {
  draft: { label: 'Go on planning', tab: 'plan' },
  locked: { label: 'Prepare the samples', tab: 'prepare' },
  running: { label: 'Go to the desk', tab: 'run' },
  closed: { label: 'Unseal', tab: 'review' },
  unsealed: { label: 'Read and sign', tab: 'review' },
  signed: { label: 'Read the verdict', tab: 'review' },
  refused: { label: 'Read the verdict', tab: 'review' },
};

/** From the question to the locked plan. */
export function planRoutes(parts: Parts): Router {
  const { store, views } = parts;
  const router = Router();

  router.get('/', async (req, res) => {
    const studies = await listStudies(store.db);
    const page: HomePage = {
      ...staffFrame(req, res, { title: 'Studies' }),
      studies: studies.map((study) => ({
        id: study.id,
        title: study.title,
        state: study.state,
        stateWords: studyStateWords[study.state],
        next: { label: nextStep[study.state].label, url: `/studies/${study.id}/${nextStep[study.state].tab}` },
      })),
      tour: parts.tour ? [...parts.tour] : null,
    };
    res.send(views.page('plan/home', page));
  });

  const newPage = (req: Request, res: Response, title: string, problems: readonly Problem[]): NewStudyPage => ({
    ...staffFrame(req, res, { title: 'Plan a study', problems: linesOf(problems, ['title']) }),
    heading: 'Plan a study',
    titleField: {
      id: 'title',
      name: 'title',
      value: title,
      error: problems.find((one) => one.path === 'title')?.message ?? null,
    },
    groups: presetGroups(),
  });

  router.get('/studies/new', (req, res) => res.send(views.page('plan/new', newPage(req, res, '', []))));

  router.get('/about/teams', (req, res) => {
    const { 'two-person': two, 'day-code': day, solo } = handlingWords;
    const page: TeamsPage = {
      ...staffFrame(req, res, { title: 'How blind can we be?' }),
      teams: [
        { people: '1 person', handling: solo.name, how: `${solo.how} Others listen.`, label: solo.label },
        {
          people: '2 people',
          handling: day.name,
          how: 'One loads the carriers in the morning and then stays away from desk and panel; the other runs the desk. Others listen. In ABX the third sample bears the code of its twin: blind for listeners only.',
          label: day.label,
        },
        {
          people: '2 people and a panel of others',
          handling: two.name,
          how: 'One loads out of sight all through the session; the other hands over. Neither listens.',
          label: two.label,
        },
        {
          people: '3 people or more',
          handling: two.name,
          how: 'One loads out of sight, one hands over, and whoever has not seen the sheet may listen.',
          label: two.label,
        },
      ],
    };
    res.send(views.page('plan/teams', page));
  });

  router.post('/studies', async (req, res) => {
    const { preset, title = '' } = valuesOf(req.body);
    const chosen = presets.find(({ id }) => id === preset);
    const problems: Problem[] = [];
    if (title.trim() === '')
      problems.push({ code: 'missing', path: 'title', message: 'The name of the study is missing.' });
    if (title.trim().length > 120) {
      problems.push({
        code: 'too-long',
        path: 'title',
        message: 'The name of the study must have at most 120 characters.',
        allowed: 'at most 120 characters',
        got: `${title.trim().length} characters`,
      });
    }
    if (!chosen)
      problems.push({
        code: 'not-a-choice',
        path: 'preset',
        message: 'Choose what to start from.',
        allowed: presets.map(({ id }) => id).join(', '),
      });
    if (problems.length > 0 || !chosen) {
      showAgain(req, res, formRefusal(problems), () => views.page('plan/new', newPage(req, res, title, problems)));
      return;
    }
    const id = await createStudy(parts, signedIn(req), draftFrom(chosen, title.trim()));
    res.redirect(303, `/studies/${id}/plan`);
  });

  router.get('/studies/:study', async (req, res) => {
    const study = await studyOf(parts, req);
    res.redirect(303, `/studies/${study.id}/${nextStep[study.state].tab}`);
  });

  router.get('/studies/:study/plan', async (req, res) => {
    const study = await studyOf(parts, req);
    if (study.state === 'draft') res.send(views.page('plan/plan', draftPage(req, res, study, draftOf(study), [], [])));
    else res.send(views.page('plan/locked', await lockedPage(req, res, study)));
  });

  const draftOf = (study: StudyRow): Draft => openDraft(study.plan);

  function draftPage(
    req: Request,
    res: Response,
    study: StudyRow,
    draft: Draft,
    shown: readonly Problem[],
    locking: readonly Problem[],
  ) {
    const problems = [...shown, ...locking].map((problem) => ({
      ...problem,
      field: hasField(problem.path) ? problem.path : null,
    }));
    const frame = studyFrame(req, res, study, 'plan', {
      title: 'Plan',
      problems,
      notice: shown.length > 0 ? 'Kept as you typed it.' : req.query.saved === '1' ? 'Saved.' : null,
    });
    return planPage(frame, `/studies/${study.id}`, draft, shown, locking);
  }

  router.post('/studies/:study/plan', async (req, res) => {
    const study = await studyOf(parts, req);
    refuseLocked(study);
    const values = valuesOf(req.body);
    const what = values.do ?? 'save';
    const typed = draftFromForm(draftOf(study), values);
    const draft = what === 'save' ? typed : changeParts(typed, what);
    await perform(parts, savePlan, study.id, { kind: 'staff', ...signedIn(req) }, { draft });
    // Everything is kept as typed; what was filled in wrongly is said, what is still empty only stands in the list below.
    const full = tooManyParts(typed, what);
    const wrong = what === 'save' ? openOf(draft).filter((problem) => problem.code !== 'missing') : full ? [full] : [];
    if (wrong.length === 0) {
      res.redirect(303, `/studies/${study.id}/plan${what === 'save' ? '?saved=1' : ''}`);
      return;
    }
    const kept = await studyOf(parts, req);
    showAgain(req, res, formRefusal(wrong), () => views.page('plan/plan', draftPage(req, res, kept, draft, wrong, [])));
  });

  function refuseLocked(study: StudyRow): void {
    if (study.state === 'draft') return;
    throw new Refusal('wrong-state', 'This plan is locked. It can’t be changed any more.', {
      path: 'state',
      allowed: 'draft',
      got: study.state,
      next: { label: 'Look at the plan', url: `/studies/${study.id}/plan` },
    });
  }

  router.post('/studies/:study/plan/finds', async (req, res) => {
    const study = await studyOf(parts, req);
    refuseLocked(study);
    const draft = draftFromForm(draftOf(study), valuesOf(req.body));
    res.send(views.part('plan/finds', findsOfDraft(draft)));
  });

  router.post('/studies/:study/lock', async (req, res) => {
    const study = await studyOf(parts, req);
    const { passphrase, passphraseAgain } = inputOf(req.body);
    try {
      await perform(parts, lockPlan, study.id, { kind: 'staff', ...signedIn(req) }, { passphrase, passphraseAgain });
      res.redirect(303, `/studies/${study.id}/plan`);
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || study.state !== 'draft') throw error;
      const problems = error.problems.length > 0 ? [...error.problems] : [error.toJSON().error];
      showAgain(req, res, error, () =>
        views.page('plan/plan', draftPage(req, res, study, draftOf(study), [], problems)),
      );
    }
  });

  async function lockedPage(req: Request, res: Response, study: StudyRow): Promise<LockedPlanPage> {
    const [locked] = await ledgerBodies(store.db, study.id, ['plan-locked']);
    const plan = planOf(study);
    const base = `/studies/${study.id}`;
    return {
      ...studyFrame(req, res, study, 'plan', { title: 'Plan' }),
      base,
      rows: planRows(plan),
      planHash: study.plan_hash ?? '',
      commitment: study.commitment ?? '',
      lockedAt: utcMinute(locked?.at ?? study.created_at),
      lockedBy: (locked?.actor ?? '').replace(/^staff:/, ''),
      next: { label: nextStep[study.state].label, url: `${base}/${nextStep[study.state].tab}` },
      blind: { label: blindLabel(plan), weakness: blindWeakness(plan) },
      exposure: sittingGoesOn.includes(study.state) ? `${base}/exposure` : null,
      followUp: answersAreIn.includes(study.state) ? `${base}/follow-up` : null,
      rehearsal: `${base}/rehearsal`,
    };
  }
  return router;
}
