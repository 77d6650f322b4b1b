import { type Request, type Response, Router } from 'express';
import { seenKinds } from '../../shared/findings-amendments';
import { handsOver, type Plan, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { factsWords, seenWords } from '../amendment-words';
import { entriesOf, factKinds, factsOf, type SeenKind } from '../blinding/amendments';
import { perform, planOf, stateWords } from '../command';
import type { Parts } from '../parts';
import { currentSession, sessionsOf } from '../store/sessions';
import { sheetOpenings } from '../store/studies';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { emptyFieldOf, fieldOf, inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import type { Field, StaffFrame } from '../web/page';
import { Refusal } from '../web/refusal';
import { amendPlan } from './amend';
import { choices } from './choices';
import { type Draft, draftFromForm, fieldNames } from './draft';
import { checkInPart, exclusionsPart, hasField, sessionsPart } from './plan-page';
import { type FieldOf, timingPart } from './plan-page-method';
import { soundRules } from './plan-page-sound';
import { draftFromPlan } from './saved-draft';
import type { Choice, PlanPage } from './view-models';

/**
 * GET /studies/:id/amend. Form: POST the same, with the fields of the plan that may change by their names on the plan
 * page, and {reason, seen, seenWords, passphrase?}.
 */
export interface AmendPage extends StaffFrame {
  base: string;
  /** The number that this amendment will have, which is the version of the plan that it changes. */
  number: number;
  /** Closed: the amendment reopens the study. */
  reopens: boolean;
  /** Null when nothing can be amended now; then `notNow` says why. */
  form: AmendForm | null;
  notNow: { why: string; next: { label: string; url: string } } | null;
}

export interface AmendForm {
  titleField: Field;
  question: Field;
  product: Field;
  audiences: { name: string; listeners: Field }[];
  sessions: PlanPage['sessions'];
  checkIn: PlanPage['checkIn'];
  exclusions: PlanPage['exclusions'];
  /** Null where the listener’s page plays nothing. */
  sound: (ReturnType<typeof soundRules> & { window: boolean }) | null;
  timing: PlanPage['timing'];
  changesError: string | null;
  reason: Field;
  seen: Choice[];
  seenError: string | null;
  seenWords: Field;
  /** What goes into the record beside it, whatever its author says. */
  facts: string;
  /** What becomes of sheets that were opened and carriers that were loaded. */
  sheets: string;
  passphrase: Field;
}

const own = ['reason', 'seen', 'seenWords', 'passphrase', 'changes'];

export function amendRoutes(parts: Parts): Router {
  const { db } = parts.store;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    values: Values = {},
    problems: readonly Problem[] = [],
  ): Promise<AmendPage> {
    const base = `/studies/${study.id}`;
    const notNow = await whyNot(study, base);
    const fields = problems.map(({ path }) => path).filter((path) => own.includes(path) || hasField(path));
    return {
      ...studyFrame(req, res, study, 'plan', { title: 'Amend the plan', problems: linesOf(problems, fields) }),
      base,
      number: Math.max(1, study.plan_version),
      reopens: study.state === 'closed',
      form: notNow ? null : await formOf(study, values, problems),
      notNow,
    };
  }

  async function whyNot(study: StudyRow, base: string): Promise<AmendPage['notNow']> {
    const plan = { label: 'To the plan', url: `${base}/plan` };
    if (study.state === 'draft') {
      return { why: 'This is still a draft: change the plan itself.', next: plan };
    }
    if (!amendPlan.states.includes(study.state)) {
      return { why: `This study is ${stateWords[study.state]}: its plan stays as it is.`, next: plan };
    }
    if (await currentSession(db, study.id)) {
      const why = 'A session is open. A plan doesn’t change under a listener: close the session first.';
      return { why, next: { label: 'Go to the desk', url: `${base}/run` } };
    }
    return null;
  }

  async function formOf(study: StudyRow, values: Values, problems: readonly Problem[]): Promise<AmendForm> {
    return {
      ...amendFields(planOf(study), values, problems),
      facts: factsWords(factsOf(await entriesOf(db, study.id, factKinds))),
      sheets: await sheetsWords(study),
    };
  }

  async function sheetsWords(study: StudyRow): Promise<string> {
    const next = (await sessionsOf(db, study.id)).length + 1;
    const opened = (await sheetOpenings(db, study.id)).some(({ session_number }) => session_number === next);
    return opened
      ? `The sheet of session ${next} was opened already. It no longer holds: empty its carriers, and open the sheet anew.`
      : `Session ${next} is drawn by the amended plan. What was drawn for sessions that were held stays.`;
  }

  router.get('/studies/:study/amend', async (req, res) => {
    res.send(parts.views.page('plan/amend', await page(req, res, await studyOf(parts, req))));
  });

  router.post('/studies/:study/amend', async (req, res) => {
    const study = await studyOf(parts, req);
    const values = valuesOf(req.body);
    const { reason, seen, seenWords: words, passphrase, version } = inputOf(req.body);
    const input = {
      draft: study.state === 'draft' ? {} : draftOf(planOf(study), values),
      reason,
      seen,
      ...(words === undefined ? {} : { seenWords: words }),
      ...(passphrase === undefined ? {} : { passphrase }),
      ...(version === undefined ? {} : { version }),
    };
    try {
      await perform(parts, amendPlan, study.id, { kind: 'staff', ...signedIn(req) }, input);
      res.redirect(303, `/studies/${study.id}/plan`);
    } catch (error) {
      if (!(error instanceof Refusal) || (error.code !== 'bad-input' && !own.includes(error.path))) throw error;
      const problems = error.allProblems;
      const again = await page(req, res, await studyOf(parts, req), values, problems);
      showAgain(req, res, error, () => parts.views.page('plan/amend', again));
    }
  });

  return router;
}

/** The fields of an amendment: the plan as it stands, with what was typed in its place. */
export function amendFields(
  plan: Plan,
  values: Values,
  problems: readonly Problem[],
): Omit<AmendForm, 'facts' | 'sheets'> {
  const draft = draftOf(plan, values);
  const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
  const field: FieldOf = (name, value) => ({ id: name, name, value, error: errorAt(name) });
  return {
    titleField: field('title', draft.title),
    question: field('question', draft.question),
    product: field('product', draft.product),
    audiences: plan.audiences.map(({ name }, i) => ({
      name,
      listeners: field(`audiences.${i}.listeners`, draft.audiences[i]?.listeners ?? ''),
    })),
    sessions: sessionsPart(draft, field),
    checkIn: checkInPart(draft, problems),
    exclusions: exclusionsPart(draft, problems),
    sound: plays(plan) ? { ...soundRules(draft, field), window: plan.method.id === 'first-impressions' } : null,
    timing: timingPart(draft, field).filter(({ handed }) => !handed || handsOver(plan)),
    changesError: errorAt('changes'),
    reason: fieldOf(values, problems, 'reason'),
    seen: choices(seenKinds, values.seen ?? '', (kind) => [seenWords({ kind, words: '' }), seenHints[kind]]),
    seenError: errorAt('seen'),
    seenWords: fieldOf(values, problems, 'seenWords'),
    passphrase: emptyFieldOf(problems, 'passphrase'),
  };
}

/** The plan as a form shows it, with what was typed. Its method isn't a matter of amendments. */
const draftOf = (plan: Plan, values: Values): Draft =>
  draftFromForm(draftFromPlan(plan, null), { ...values, [fieldNames.method]: plan.method.id });

const seenHints: Record<SeenKind, string> = {
  progress: 'Who came, and how far they are.',
  answers: 'In the review of the data, after closing. Never which sample was which.',
  key: 'A sheet, a code that was revealed, or a word that somebody let slip.',
};
