import { type Request, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { answersAreIn, sittingGoesOn } from '../../shared/states';
import { amendmentRow } from '../amendment-words';
import { amendmentsOf, entriesOf, planVersions } from '../blinding/amendments';
import { importedEntry } from '../blinding/imported';
import { perform, planOf } from '../command';
import type { Parts } from '../parts';
import { planRows } from '../plan-rows';
import { blindLabel, blindWeakness, broughtLabel } from '../plan-words';
import { knownProducts } from '../products';
import { roomsOpen, whoseElse } from '../roles/gate';
import { teams } from '../roles/teams';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { formRefusal, inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { amendPlan } from './amend';
import { createStudy, lockPlan, savePlan } from './commands';
import { deviationPart } from './deviation-part';
import { planDocuments } from './documents';
import { type Draft, draftFromForm } from './draft';
import { changeParts, tooManyParts } from './draft-parts';
import { studyLines } from './home';
import { methodPages } from './method-pages';
import { nextStep } from './next-step';
import { findsOfDraft, hasField, openOf, planPage } from './plan-page';
import { draftFrom, presets, teamPart } from './presets';
import { openDraft } from './saved-draft';
import { soundPages } from './sound-pages';
import type { HomePage, LockedPlanPage, NewStudyPage } from './view-models';
import { waysOf } from './ways';

const noCommitment = 'None: the answers were gathered elsewhere';

/** From the question to the locked plan. */
export function planRoutes(parts: Parts): Router {
  const { store, views } = parts;
  const router = Router();
  router.use(methodPages(parts));
  router.use(planDocuments(parts));

  router.get('/', async (req, res) => {
    const page: HomePage = {
      ...staffFrame(req, res, { title: 'Studies' }),
      studies: await studyLines(store.db, signedIn(req).id),
      tour: parts.tour ? [...parts.tour] : null,
      products: (await knownProducts(store.db, signedIn(req).id)).length > 0,
    };
    res.send(views.page('plan/home', page));
  });

  const newPage = (
    req: Request,
    res: Response,
    { title = '', team }: Values,
    problems: readonly Problem[],
  ): NewStudyPage => ({
    ...staffFrame(req, res, { title: 'Plan a study', problems: linesOf(problems, ['title']) }),
    heading: 'Plan a study',
    titleField: {
      id: 'title',
      name: 'title',
      value: title,
      error: problems.find((one) => one.path === 'title')?.message ?? null,
    },
    ...teamPart(team),
  });

  router.get('/studies/new', (req, res) =>
    res.send(views.page('plan/new', newPage(req, res, valuesOf(req.query), []))),
  );

  router.post('/studies', async (req, res) => {
    const values = valuesOf(req.body);
    const { preset, title = '' } = values;
    const team = teams.find(({ id }) => id === values.team);
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
      showAgain(req, res, formRefusal(problems), () => views.page('plan/new', newPage(req, res, values, problems)));
      return;
    }
    const id = await createStudy(parts, signedIn(req), draftFrom(chosen, title.trim(), team?.handling));
    res.redirect(303, `/studies/${id}/plan`);
  });

  router.get('/studies/:study', async (req, res) => {
    const study = await studyOf(parts, req);
    res.redirect(303, nextStep(study, roomsOpen(req))?.url ?? '/');
  });

  router.get('/studies/:study/plan', async (req, res) => {
    const study = await studyOf(parts, req);
    if (study.state === 'draft')
      res.send(views.page('plan/plan', await draftPage(req, res, study, draftOf(study), [], [])));
    else res.send(views.page('plan/locked', await lockedPage(req, res, study)));
  });

  const draftOf = (study: StudyRow): Draft => openDraft(study.plan);

  async function draftPage(
    req: Request,
    res: Response,
    study: StudyRow,
    draft: Draft,
    shown: readonly Problem[],
    locking: readonly Problem[],
    typed: Values = {},
  ) {
    const problems = [...shown, ...locking].map((problem) => ({
      ...problem,
      field: hasField(problem.path) ? problem.path : null,
    }));
    const designer = whoseElse(req, 'save-plan');
    const frame = studyFrame(req, res, study, 'plan', {
      title: 'Plan',
      problems,
      notice:
        designer !== null
          ? `Only the designer changes this plan: ${designer}.`
          : shown.length > 0
            ? 'Kept as you typed it.'
            : req.query.saved === '1'
              ? 'Saved.'
              : null,
    });
    const deviation = await deviationPart(parts, study, locking, typed);
    const products = await knownProducts(store.db, signedIn(req).id);
    return planPage(frame, `/studies/${study.id}`, draft, shown, locking, deviation, products);
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
    const again = await draftPage(req, res, kept, draft, wrong, []);
    showAgain(req, res, formRefusal(wrong), () => views.page('plan/plan', again));
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
    res.send(views.part('plan/finds-anew', { finds: findsOfDraft(draft), ways: waysOf(draft) }));
  });

  router.post('/studies/:study/lock', async (req, res) => {
    const study = await studyOf(parts, req);
    const { passphrase, passphraseAgain, deviation } = inputOf(req.body);
    const input = { passphrase, passphraseAgain, ...(deviation === undefined ? {} : { deviation }) };
    try {
      await perform(parts, lockPlan, study.id, { kind: 'staff', ...signedIn(req) }, input);
      res.redirect(303, `/studies/${study.id}/plan`);
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input' || study.state !== 'draft') throw error;
      const problems = [...error.allProblems];
      const again = await draftPage(req, res, study, draftOf(study), [], problems, valuesOf(req.body));
      showAgain(req, res, error, () => views.page('plan/plan', again));
    }
  });

  async function lockedPage(req: Request, res: Response, study: StudyRow): Promise<LockedPlanPage> {
    const versions = await entriesOf(store.db, study.id, ['plan-locked', 'imported', 'amended']);
    const brought = importedEntry(versions) !== null;
    const [locked] = versions;
    const amendments = amendmentsOf(versions);
    const plan = planOf(study);
    const base = `/studies/${study.id}`;
    return {
      ...studyFrame(req, res, study, 'plan', { title: 'Plan' }),
      base,
      rows: planRows(plan),
      planHash: study.plan_hash ?? '',
      lockedHash: amendments.length === 0 ? null : (planVersions(versions)[0]?.hash ?? ''),
      amendments: amendments.map((one) => amendmentRow(plan, one)),
      amend: amendPlan.states.includes(study.state) && whoseElse(req, 'amend') === null ? `${base}/amend` : null,
      commitment: study.commitment ?? (brought ? noCommitment : ''),
      signingKey: typeof locked?.body.signingKey === 'string' ? locked.body.signingKey : null,
      lockedAt: utcMinute(locked?.at ?? study.created_at),
      lockedBy: (locked?.actor ?? '').replace(/^staff:/, ''),
      next: nextStep(study, roomsOpen(req)) ?? {
        label: 'Who does what',
        url: `${base}/team`,
      },
      soundPages: soundPages(plan, base),
      blind: brought
        ? { label: broughtLabel, weakness: null }
        : { label: blindLabel(plan), weakness: blindWeakness(plan) },
      exposure:
        sittingGoesOn.includes(study.state) && whoseElse(req, 'declare-exposure') === null ? `${base}/exposure` : null,
      followUp: answersAreIn.includes(study.state) ? `${base}/follow-up` : null,
      rehearsal: `${base}/rehearsal`,
    };
  }
  return router;
}
