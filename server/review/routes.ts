import { type Request, type Response, Router } from 'express';
import { hasLooks } from '../../protocols/looks';
import type { Problem } from '../../shared/problem';
import type { StudyRecord } from '../../shared/record';
import { verifyPassword } from '../account/password';
import { recordOf } from '../blinding/record';
import { type StudyStory, storyOf } from '../blinding/story';
import { forgetWorkingKey } from '../blinding/unsealing';
import { perform, planOf } from '../command';
import { mishapWords } from '../mishap-words';
import type { Parts } from '../parts';
import { quickPassphrase } from '../quick-passphrase';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { wantsPage } from '../web/errors';
import { emptyFieldOf, fieldOf, inputOf, linesOf, type Values, valuesOf } from '../web/forms';
import { addressOf, limitFailures } from '../web/limits';
import type { StaffFrame } from '../web/page';
import { Refusal } from '../web/refusal';
import { closeStudy, decide, meanings, unsealStudy } from './commands';
import type { Computings } from './computing/computings';
import { computingPage } from './computing/page';
import type { Reading } from './computing/reading';
import { computingRoutes } from './computing/routes';
import { downloadRoutes } from './downloads';
import { flowOf } from './flow';
import { flowRows } from './flow-rows';
import { letterOf } from './letter';
import { lookedWords } from './looks/looked-words';
import { barredWords, type SigningOff, signingOff } from './signing-off';
import type { ClosePage, UnsealPage, VerdictPage } from './view-models';

/** From closing to the signature. */
export function reviewRoutes(parts: Parts, computings: Computings): Router {
  const { store, views } = parts;
  const router = Router();
  const slow = limitFailures({ attempts: 10, minutes: 15 }, addressOf);
  // A letter is laid out once for each reading.
  const letters = new WeakMap<Reading, ReturnType<typeof letterOf>>();

  const frame = (
    req: Request,
    res: Response,
    study: StudyRow,
    problems: readonly Problem[],
    fields: string[],
  ): StaffFrame => studyFrame(req, res, study, 'review', { title: 'Review', problems: linesOf(problems, fields) });

  router.get('/studies/:study/review', async (req, res) => {
    res.send(await reviewPage(req, res, await studyOf(parts, req), {}, []));
  });

  async function reviewPage(
    req: Request,
    res: Response,
    study: StudyRow,
    values: Values,
    problems: readonly Problem[],
  ): Promise<string> {
    if (['draft', 'locked', 'running'].includes(study.state)) {
      return views.page('review/close', await closePage(req, res, study, problems));
    }
    if (study.state === 'closed') {
      const record = await recordOf(store.db, study.id);
      return views.page('review/unseal', unsealPage(req, res, study, record, problems));
    }
    const found = await computings.of(study.id);
    if ('state' in found)
      return views.page('review/computing', computingPage(frame(req, res, study, [], []), study, found));
    const signing = await signingOff(store.db, study, found.told, signedIn(req));
    return views.page('review/verdict', verdictPage(req, res, study, found, signing, values, problems));
  }

  async function closePage(
    req: Request,
    res: Response,
    study: StudyRow,
    problems: readonly Problem[],
  ): Promise<ClosePage> {
    const story = study.state === 'draft' ? null : storyOf((await recordOf(store.db, study.id)).ledger);
    return {
      ...frame(req, res, study, problems, ['understood']),
      base: `/studies/${study.id}/review`,
      notYet:
        study.state === 'running'
          ? null
          : study.state === 'locked'
            ? 'No session has been held yet. Prepare the samples and open one at the desk.'
            : 'This is still a draft. Lock the plan first.',
      looks: study.state !== 'running' ? null : hasLooks(planOf(study)) ? 'some' : 'none',
      open: story ? openEnds(story, await recordOf(store.db, study.id)) : [],
      flow: story ? flowRows({ flow: flowOf(story) }, mishapWords, false) : [],
    };
  }

  function openEnds(story: StudyStory, { ledger }: StudyRecord): ClosePage['open'] {
    const closed = ledger.filter((entry) => entry.kind === 'session-closed').length;
    const sittings = story.sittings.filter((sitting) => sitting.ended === 'open');
    const { trials, listeners } = flowOf(story);
    const open = [
      { label: 'Session still open', count: story.sessions.length - closed, detail: 'It is closed with the study.' },
      { label: 'Sittings under way', count: sittings.length, detail: 'They are cut; what was answered is kept.' },
      { label: 'Trials not answered', count: trials.lost, detail: 'They are counted as never answered.' },
      {
        label: 'Listeners planned who never sat',
        count: Math.max(0, listeners.planned - listeners.seated),
        detail: 'Fewer listeners find less.',
      },
      {
        label: 'Answers that came too late',
        count: trials.quarantined,
        detail: 'Their session was closed before. They are kept apart and not counted.',
      },
      { label: 'Incidents noted', count: story.incidents.length, detail: 'They stand in the report.' },
    ];
    return open.filter(({ count }) => count > 0);
  }

  router.post('/studies/:study/review/close', async (req, res) => {
    const study = await studyOf(parts, req);
    await attempt(req, res, study, ['understood'], async () => {
      const { understood } = inputOf(req.body);
      await perform(parts, closeStudy, study.id, { kind: 'staff', ...signedIn(req) }, { understood });
      forgetWorkingKey(store.folder, study.id);
    });
  });

  function unsealPage(
    req: Request,
    res: Response,
    study: StudyRow,
    record: StudyRecord,
    problems: readonly Problem[],
  ): UnsealPage {
    const closed = record.ledger.findLast(({ kind }) => kind === 'study-closed');
    return {
      ...frame(req, res, study, problems, ['passphrase']),
      base: `/studies/${study.id}/review`,
      closedAt: utcMinute(closed?.at ?? ''),
      closedBy: (closed?.actor ?? '').replace(/^staff:/, ''),
      looked: lookedWords(record.ledger),
      flow: flowRows({ flow: flowOf(storyOf(record.ledger)) }, mishapWords),
      opened: record.ledger.some(({ kind }) => kind === 'blind-review-opened'),
      passphrase: planOf(study).quick ? null : emptyFieldOf(problems, 'passphrase'),
    };
  }

  router.post('/studies/:study/review/unseal', slow, async (req, res) => {
    const study = await studyOf(parts, req);
    await attempt(req, res, study, ['passphrase'], async () => {
      const { passphrase: typed = '' } = inputOf(req.body);
      const passphrase = study.state !== 'draft' && planOf(study).quick ? quickPassphrase(parts, study.id) : typed;
      await perform(parts, unsealStudy, study.id, { kind: 'staff', ...signedIn(req) }, { passphrase });
    });
  });

  function letter(reading: Reading): ReturnType<typeof letterOf> {
    const known = letters.get(reading) ?? letterOf(reading.findings, reading.plan);
    letters.set(reading, known);
    return known;
  }

  function verdictPage(
    req: Request,
    res: Response,
    study: StudyRow,
    reading: Reading,
    signing: SigningOff,
    values: Values,
    problems: readonly Problem[],
  ): VerdictPage {
    const { plan, decision } = reading;
    const laidOut = letter(reading);
    const base = `/studies/${study.id}/review`;
    const known = inputOf(req.body).known;
    return {
      ...frame(req, res, study, problems, ['reason', 'alone', 'password', 'known']),
      base,
      ...laidOut,
      later: reading.later,
      blindNotes: [...reading.notes, ...laidOut.blindNotes],
      decision,
      dataPage: `${base}/data`,
      sign:
        study.state === 'unsealed' && signing.waitsFor === null
          ? {
              name: signedIn(req).name,
              barred: barredWords(reading),
              refusingBarred: reading.broken !== null,
              deviations: reading.deviations.map(({ entry, words }) => ({
                value: String(entry),
                words,
                checked: [known].flat().includes(String(entry)),
              })),
              deviationsError: problems.find(({ path }) => path === 'known')?.message ?? null,
              alone: signing.alone ? fieldOf(values, problems, 'alone') : null,
              meanings: Object.entries(meanings).map(([value, label]) => ({
                value,
                label,
                chosen: values.meaning === value,
              })),
              reason: fieldOf(values, problems, 'reason'),
              password: emptyFieldOf(problems, 'password'),
            }
          : null,
      waitsFor: study.state === 'unsealed' ? signing.waitsFor : null,
      downloads: [
        {
          label: 'Report',
          url: `${base}/report.html`,
          detail:
            'HTML, one file with everything on this page: opens with no network, prints, and says how to check it',
        },
        {
          label: 'Answers',
          url: `${base}/answers.csv`,
          detail:
            plan.method.id === 'first-impressions' ? 'CSV, one row an answer and scale' : 'CSV, one row an answer',
        },
        { label: 'Dictionary of the columns', url: `${base}/dictionary.csv`, detail: 'CSV' },
        {
          label: 'Record',
          url: `${base}/record.json`,
          detail: 'JSON, the whole ledger; “analyse” computes these findings from it',
        },
        { label: 'Findings', url: `${base}/findings.json`, detail: 'JSON, the figures of this page' },
      ],
    };
  }

  router.post('/studies/:study/review/sign', slow, async (req, res) => {
    const study = await studyOf(parts, req);
    const staff = signedIn(req);
    const { decision, meaning, reason = '', alone = '', findings: read = '', known = [], password } = inputOf(req.body);
    await attempt(req, res, study, ['reason', 'alone', 'password', 'decision', 'meaning', 'known'], async () => {
      // Where nothing can be decided, no guess at the password is worth the work either.
      const typed = study.state === 'unsealed' && typeof password === 'string' ? password : null;
      const passwordRight = typed !== null && (await verifyPassword(store, staff.id, typed));
      const input = { decision, meaning, reason, alone, known: [known].flat(), findings: read, passwordRight };
      await perform(parts, decide, study.id, { kind: 'staff', ...staff }, input);
    });
  });

  /** Does it and goes back to the page, or shows the page again with what was wrong beside its field. */
  async function attempt(
    req: Request,
    res: Response,
    study: StudyRow,
    fields: string[],
    work: () => Promise<void>,
  ): Promise<void> {
    try {
      await work();
      res.redirect(303, `/studies/${study.id}/review`);
    } catch (error) {
      if (!(error instanceof Refusal) || !fields.includes(error.path) || !wantsPage(req)) throw error;
      const problems = error.allProblems;
      res.status(error.status).send(await reviewPage(req, res, study, valuesOf(req.body), problems));
    }
  }

  router.use(computingRoutes(parts, computings));
  router.use(downloadRoutes(parts, (study) => computings.whole(study)));
  return router;
}
