import { type Request, type Response, Router } from 'express';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { listenerOf } from '../account/listener-identity';
import { sheetOutdatedAt } from '../blinding/outdated-sheet';
import { sheetOf } from '../blinding/serving';
import { isSingleBlind, perform, planOf, servingOf } from '../command';
import type { Parts } from '../parts';
import { handlingWords } from '../plan-words';
import { sawListeners } from '../roles/clashes';
import { sheetOpenings } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { wantsPage } from '../web/errors';
import { emptyFieldOf, inputOf, linesOf, valuesOf } from '../web/forms';
import { addressOf, limitFailures } from '../web/limits';
import { Refusal } from '../web/refusal';
import { addressesOf, openSheet, sheetSession } from './commands';
import { levelRoutes } from './level-routes';
import { listeningRoutes } from './listening-routes';
import { prepareNav } from './nav';
import { revealPart, revealRoutes } from './reveal-page';
import { sheetPage } from './sheet-page';
import { type PlanNow, soundRoutes } from './sound-routes';
import type { PreparePage } from './view-models';

const passHours = 12;

/** Handed in from the room where plans are written. */
export interface PlanKnown {
  planNow: PlanNow;
  /** Of one sitting. */
  minutesOf(plan: Plan): number;
}

/** The preparation sheets: behind the passphrase, and every opening in the ledger. */
export function prepareRoutes(parts: Parts, { planNow, minutesOf }: PlanKnown): Router {
  const { store, views } = parts;
  const router = Router();
  const slow = limitFailures({ attempts: 10, minutes: 15 }, addressOf);
  // Whoever has typed the passphrase may reload the sheet for the day; a restart asks again.
  const passes = new Map<string, number>();
  // An amended plan draws anew, so its sheet is another one.
  const passOf = (staff: string, study: StudyRow, session: number) =>
    `${staff} ${study.id} ${study.plan_version} ${session}`;

  async function preparePage(
    req: Request,
    res: Response,
    study: StudyRow,
    problems: readonly Problem[],
  ): Promise<PreparePage> {
    const staff = signedIn(req);
    const session = study.state === 'draft' ? 1 : await sheetSession(store.db, study);
    const listener = await listenerOf(store.db, req.headers);
    const handling = study.state === 'draft' ? null : planOf(study).handling;
    const open = study.state === 'locked' || study.state === 'running';
    const available = open && handling !== 'server';
    const clash =
      available && !isSingleBlind(study) && (await sawListeners(store.db, study, staff, listener?.id ?? null));
    return {
      ...studyFrame(req, res, study, 'prepare', {
        title: 'Prepare',
        problems: linesOf(problems, ['passphrase', 'session', 'understood']),
      }),
      base: `/studies/${study.id}`,
      nav: prepareNav(req, study, planNow(study).plan, 'prepare'),
      handling: handling ? handlingWords[handling].name : '',
      handlingWords: handling ? handlingWords[handling].how : '',
      sessions: [{ number: session, chosen: true }],
      passphrase: emptyFieldOf(problems, 'passphrase'),
      openings: (await sheetOpenings(store.db, study.id)).map(({ name, session_number, at }) => ({
        name,
        session: session_number,
        at: utcMinute(at),
      })),
      consequence: consequenceOf(study, clash),
      clash,
      available,
      unavailableReason: available
        ? null
        : study.state === 'draft'
          ? 'Lock the plan first. The codes are drawn for the locked plan.'
          : open
            ? 'Nothing to load: the server plays renders, so there is no sheet.'
            : 'This study is closed; there is nothing left to prepare.',
      outdated: available ? await outdatedWords(study, session) : null,
      reveal: await revealPart(parts, req, study),
    };
  }

  /** Carriers that were loaded by a plan that has been amended since. */
  async function outdatedWords(study: StudyRow, session: number): Promise<string | null> {
    const amended = await sheetOutdatedAt(store.db, study.id, session);
    if (amended === null) return null;
    return `The plan was amended on ${utcMinute(amended)}, after the sheet of session ${session} had been opened. Empty its carriers, and open the sheet anew: the codes are other ones.`;
  }

  function consequenceOf(study: StudyRow, clash: boolean): string {
    if (clash) {
      return 'You have run the desk of this study or sit on its panel. If you open the sheet, the study becomes single blind, and its report says so in the first line.';
    }
    if (study.state !== 'draft' && isSingleBlind(study))
      return 'This study is single blind. Whoever opens the sheet can’t listen in it all the same. That you opened it is written down.';
    return 'Whoever opens the sheet can’t run the desk or listen in this study. That you opened it is written down.';
  }

  router.get('/studies/:study/prepare', async (req, res) => {
    res.send(views.page('prepare/prepare', await preparePage(req, res, await studyOf(parts, req), [])));
  });

  router.post('/studies/:study/prepare/open', slow, async (req, res) => {
    const study = await studyOf(parts, req);
    const staff = signedIn(req);
    const listener = await listenerOf(store.db, req.headers);
    const { session, passphrase, understood } = inputOf(req.body);
    try {
      await perform(
        parts,
        openSheet,
        study.id,
        { kind: 'staff', ...staff },
        {
          session,
          passphrase,
          ...(understood === undefined ? {} : { understood }),
          listener: listener?.id ?? null,
        },
      );
      passes.set(passOf(staff.id, study, Number(session)), parts.now().getTime() + passHours * 3_600_000);
      res.redirect(303, `/studies/${study.id}/prepare/sheet?session=${Number(session)}`);
    } catch (error) {
      if (!(error instanceof Refusal) || !wantsPage(req)) throw error;
      if (!['passphrase', 'session', 'understood'].includes(error.path)) throw error;
      const problems = error.allProblems;
      const page = await preparePage(req, res, study, problems);
      res.status(error.status).send(views.page('prepare/prepare', page));
    }
  });

  router.get('/studies/:study/prepare/sheet', async (req, res) => {
    const study = await studyOf(parts, req);
    const staff = signedIn(req);
    const session = Number(valuesOf(req.query).session);
    const pass = passes.get(passOf(staff.id, study, session)) ?? 0;
    const open = study.state === 'locked' || study.state === 'running';
    if (!open || pass < parts.now().getTime() || session !== (await sheetSession(store.db, study))) {
      res.redirect(303, `/studies/${study.id}/prepare`);
      return;
    }
    const sheet = await store.write(async (tx) =>
      sheetOf(tx, servingOf(parts, study), session, await addressesOf({ tx, study }, session)),
    );
    const frame = studyFrame(req, res, study, 'prepare', { title: `Sheet for session ${session}` });
    res.send(views.page('prepare/sheet', sheetPage(frame, planOf(study), sheet, session, staff.name, parts.now())));
  });

  router.use(revealRoutes(parts, slow));
  router.use(soundRoutes(parts, planNow));
  router.use(levelRoutes(parts, planNow));
  router.use(listeningRoutes(parts, planNow, minutesOf));
  return router;
}
