import { type Request, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { sittingGoesOn } from '../../shared/states';
import { ledgerBodies } from '../blinding/ledger';
import { perform, planOf } from '../command';
import type { Parts } from '../parts';
import { allListeners, memberships } from '../store/listeners';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { deskMinute } from '../time-words';
import { fieldOf, inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import type { Field, StaffFrame } from '../web/page';
import { Refusal } from '../web/refusal';
import { declareExposure } from './exposure';

interface Choice {
  value: string;
  label: string;
  chosen: boolean;
}

/** GET /studies/:id/exposure. Form: POST the same {listener, prototype, times, how: 'open'|'blind'}. */
export interface ExposurePage extends StaffFrame {
  base: string;
  /** Null when nothing can be declared in this state, or nobody is known here. */
  form: {
    /** Members of this study, then whoever else is known to this server. */
    groups: { title: string; listeners: Choice[] }[];
    listenerError: string | null;
    prototypes: Choice[];
    prototypeError: string | null;
    times: Field;
    how: Choice[];
    howError: string | null;
  } | null;
  closed: boolean;
  declared: { at: string; by: string; alias: string; prototype: string; times: number; how: string }[];
  /** From the study that this one goes on from. */
  carried: { alias: string; prototype: string; times: number }[];
  /** Why nothing was carried over; null when something was, or there is nothing to go on from. */
  carriedNone: string | null;
}

const fields = ['listener', 'prototype', 'times', 'how'] as const;
const howWords: Record<string, string> = { open: 'knowing which it was', blind: 'without knowing' };

export function exposureRoutes(parts: Parts): Router {
  const { db } = parts.store;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    values: Values = {},
    problems: readonly Problem[] = [],
  ): Promise<ExposurePage> {
    const frame = studyFrame(req, res, study, 'plan', {
      title: 'Outside listening',
      problems: linesOf(problems, fields),
      notice: req.query.saved === '1' ? 'Noted.' : null,
    });
    const base = `/studies/${study.id}`;
    if (study.state === 'draft') {
      return { ...frame, base, form: null, closed: false, declared: [], carried: [], carriedNone: null };
    }
    const plan = planOf(study);
    const everybody = await allListeners(db);
    const alias = new Map(everybody.map((one) => [one.id as string, one.alias]));
    const name = new Map(plan.prototypes.map((one) => [one.id, one.name]));
    const entries = (await ledgerBodies(db, study.id, ['exposure-declared'])).map(({ at, actor, body }) => ({
      at: deskMinute(at),
      by: actor.replace(/^staff:/, ''),
      alias: alias.get(String(body.listener)) ?? 'a listener',
      prototype: name.get(String(body.prototype)) ?? 'a prototype',
      times: Number(body.times),
      how: String(body.how),
    }));
    const carried = entries.filter(({ how }) => how === 'earlier-study');
    return {
      ...frame,
      base,
      form:
        sittingGoesOn.includes(study.state) && everybody.length > 0
          ? await formOf(study, everybody, values, problems)
          : null,
      closed: !sittingGoesOn.includes(study.state),
      declared: entries
        .filter(({ how }) => how !== 'earlier-study')
        .map((entry) => ({ ...entry, how: howWords[entry.how] ?? entry.how }))
        .reverse(),
      carried: carried.map(({ alias, prototype, times }) => ({ alias, prototype, times })),
      carriedNone:
        plan.follows && carried.length === 0
          ? 'Nothing was carried over: the study before was sealed when this plan was locked, or nobody had listened in it.'
          : null,
    };
  }

  async function formOf(
    study: StudyRow,
    everybody: Awaited<ReturnType<typeof allListeners>>,
    values: Values,
    problems: readonly Problem[],
  ): Promise<ExposurePage['form']> {
    const members = new Set((await memberships(db, study.id)).map(({ listener_id }) => listener_id));
    const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
    const listeners = (inside: boolean): Choice[] =>
      everybody
        .filter(({ id }) => members.has(id) === inside)
        .map(({ id, alias }) => ({ value: id, label: alias, chosen: values.listener === id }));
    return {
      groups: [
        { title: 'On this panel', listeners: listeners(true) },
        { title: 'Known from other studies', listeners: listeners(false) },
      ].filter((group) => group.listeners.length > 0),
      listenerError: errorAt('listener'),
      prototypes: planOf(study).prototypes.map(({ id, name }) => ({
        value: id,
        label: name,
        chosen: values.prototype === id,
      })),
      prototypeError: errorAt('prototype'),
      times: fieldOf(values, problems, 'times'),
      how: Object.entries(howWords).map(([value, label]) => ({ value, label, chosen: values.how === value })),
      howError: errorAt('how'),
    };
  }

  router.get('/studies/:study/exposure', async (req, res) => {
    res.send(parts.views.page('plan/exposure', await page(req, res, await studyOf(parts, req))));
  });

  router.post('/studies/:study/exposure', async (req, res) => {
    const study = await studyOf(parts, req);
    try {
      await perform(parts, declareExposure, study.id, { kind: 'staff', ...signedIn(req) }, inputOf(req.body));
      res.redirect(303, `/studies/${study.id}/exposure?saved=1`);
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input') throw error;
      const problems = error.allProblems;
      const again = await page(req, res, study, valuesOf(req.body), problems);
      showAgain(req, res, error, () => parts.views.page('plan/exposure', again));
    }
  });

  return router;
}
