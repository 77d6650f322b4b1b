import { type Request, type Response, Router } from 'express';
import { type Plan, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { SoundError } from '../audio/sound-error';
import { type Actor, perform, stateWords } from '../command';
import type { Parts } from '../parts';
import { soundOf, soundReady } from '../sound-ready';
import { soundFacts, soundMatchedAt } from '../store/study-sounds';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { wantsPage } from '../web/errors';
import { inputOf, showAgain, valuesOf } from '../web/forms';
import type { ProblemLine } from '../web/page';
import { Refusal } from '../web/refusal';
import { soundRefusal } from '../web/sound-refusal';
import { uploadOf } from '../web/upload';
import { prepareNav } from './nav';
import { cutSound, matchSound, refuseAnchor, removeSound, takeSound } from './sound-commands';
import { cutId, excerptPart, factsIn, fileId, matchPart, type Sent } from './sound-page';
import { soundRules } from './sound-rules';
import type { SoundPage } from './view-models';

/** What a plan is, locked or not: handed in from the room that knows drafts. */
export type PlanNow = (study: StudyRow) => { plan: Plan | null; problems: readonly Problem[] };

/** Files, cut and match of what the server plays. */
export function soundRoutes(parts: Parts, planNow: PlanNow): Router {
  const { store, views } = parts;
  const router = Router();

  async function page(req: Request, res: Response, study: StudyRow, sent: Sent | null): Promise<SoundPage> {
    const base = `/studies/${study.id}`;
    const { plan } = planNow(study);
    const excerpts = plan ? await soundOf(store.db, study, plan) : [];
    const lines: ProblemLine[] = (sent?.problems ?? []).map((problem) => {
      const at = excerpts.findIndex(({ excerpt }) => excerpt.id === sent?.excerpt);
      const slot = excerpts[at]?.slots.findIndex(({ prototype }) => prototype === sent?.prototype) ?? -1;
      const field =
        problem.path === 'match'
          ? 'match'
          : problem.path === 'file' && slot >= 0
            ? fileId(at, slot)
            : (problem.path === 'from' || problem.path === 'to') && at >= 0
              ? cutId(at, problem.path)
              : null;
      return { ...problem, field };
    });
    const factsOf = factsIn(await soundFacts(store.db, study.id));
    const open = takeSound.states.includes(study.state);
    const ready = plan ? await soundReady(store.db, study, plan) : null;
    const before = ready?.missing.filter(({ code }) => code !== 'not-matched') ?? [];
    const matchedAt = await soundMatchedAt(store.db, study.id);
    const matchable = plan !== null && matchSound.states.includes(study.state) && before.length === 0;
    const renders = plan?.playback === 'renders';
    return {
      ...studyFrame(req, res, study, 'prepare', { title: 'Sound', problems: lines, notice: noticeOf(req) }),
      nav: prepareNav(req, study, plan, 'sound'),
      base,
      notNow: notNowOf(plan, base),
      open,
      closed: open
        ? null
        : study.state === 'running'
          ? 'Somebody has listened already, so files and cuts stay as they are.'
          : `This study is ${stateWords[study.state]}, so files and cuts stay as they are.`,
      rules: plan && plays(plan) ? soundRules(plan) : [],
      excerpts: plan ? excerpts.map((one, index) => excerptPart(plan, base, one, index, sent, factsOf)) : [],
      missing: ready?.missing.map(({ message }) => message) ?? [],
      match: plan && ready?.match && matchedAt ? matchPart(plan, ready.match, matchedAt) : null,
      matching:
        matchable && !(renders && study.state === 'running')
          ? { action: `${base}/sound/match`, again: ready?.match !== null }
          : null,
      matchError: sent?.problems.find(({ path }) => path === 'match')?.message ?? null,
    };
  }

  const noticeOf = (req: Request): string | null => {
    const { done } = valuesOf(req.query);
    if (done === 'file') return 'The file is there.';
    if (done === 'remove') return 'The file is taken away.';
    if (done === 'cut') return 'In and out points are set.';
    return done === 'match' ? 'The sound is matched.' : null;
  };

  const notNowOf = (plan: Plan | null, base: string): SoundPage['notNow'] => {
    const next = { label: 'Look at the plan', url: `${base}/plan` };
    if (!plan) return { words: 'The plan is not complete yet. What it plays is known once it is.', next };
    return plays(plan) ? null : { words: 'By its plan this study plays nothing by itself.', next };
  };

  router.get('/studies/:study/sound', async (req, res) => {
    res.send(views.page('prepare/sound', await page(req, res, await studyOf(parts, req), null)));
  });

  /** The plan that goes with what is sent. @throws Refusal while there is none, or where it plays nothing */
  function given(study: StudyRow): { plan: Plan; source: string } {
    const { plan } = planNow(study);
    if (!plan) throw new Refusal('conflict', 'The plan is not complete yet. Complete it first.', { path: 'plan' });
    if (!plays(plan))
      throw new Refusal('conflict', 'By its plan this study plays nothing by itself.', { path: 'plan' });
    return { plan, source: study.plan };
  }

  const actorOf = (req: Request): Actor => ({ kind: 'staff', ...signedIn(req) });

  /** Does it, goes back to the page, and shows it again with what was wrong. */
  async function answer(req: Request, res: Response, done: string, work: (study: StudyRow) => Promise<unknown>) {
    const study = await studyOf(parts, req);
    try {
      await work(study);
    } catch (error) {
      const refused = error instanceof SoundError ? soundRefusal(error) : error;
      if (!(refused instanceof Refusal) || !['file', 'from', 'to', 'match'].includes(refused.path)) throw refused;
      const values = valuesOf(req.body);
      const { excerpt = '', prototype = '' } = values;
      const again = await page(req, res, study, { excerpt, prototype, values, problems: refused.allProblems });
      showAgain(req, res, refused, () => views.page('prepare/sound', again));
      return;
    }
    if (wantsPage(req)) res.redirect(303, `/studies/${study.id}/sound?done=${done}`);
    else res.json({ ok: true });
  }

  router.post('/studies/:study/sound/upload', (req, res) =>
    answer(req, res, 'file', async (study) => {
      // All that can be refused is refused before the file is read.
      if (!takeSound.states.includes(study.state)) {
        throw new Refusal(
          'wrong-state',
          `This study is ${stateWords[study.state]}. You can bring sound only while it is a draft or locked.`,
          { path: 'state', allowed: takeSound.states.join(', '), got: study.state },
        );
      }
      const { plan, source } = given(study);
      const { excerpt, prototype = '' } = valuesOf(req.body);
      const there = (await soundOf(store.db, study, plan)).find((one) => one.excerpt.id === excerpt);
      const slot = there?.slots.find((one) => one.prototype === prototype);
      if (!slot) {
        throw new Refusal('bad-input', 'This plan has no such excerpt or prototype. Reload the page.', {
          path: 'excerpt',
        });
      }
      refuseAnchor(slot);
      const upload = uploadOf(req);
      const facts = await parts.sounds.take(upload.source, upload.name);
      await perform(parts, takeSound, study.id, actorOf(req), { plan, source, excerpt, prototype, facts });
    }),
  );

  router.post('/studies/:study/sound/cut', (req, res) =>
    answer(req, res, 'cut', async (study) => {
      const { excerpt, from, to } = inputOf(req.body);
      await perform(parts, cutSound, study.id, actorOf(req), { ...given(study), excerpt, from, to });
    }),
  );

  router.post('/studies/:study/sound/remove', (req, res) =>
    answer(req, res, 'remove', async (study) => {
      const { excerpt, prototype } = inputOf(req.body);
      await perform(parts, removeSound, study.id, actorOf(req), { ...given(study), excerpt, prototype });
    }),
  );

  router.post('/studies/:study/sound/match', (req, res) =>
    answer(req, res, 'match', (study) => perform(parts, matchSound, study.id, actorOf(req), given(study))),
  );

  return router;
}
