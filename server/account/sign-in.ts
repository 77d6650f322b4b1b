import { type Request, type RequestHandler, type Response, Router } from 'express';
import { z } from 'zod';
import type { Problem } from '../../shared/problem';
import { anyStaff, staffById, staffByNameKey } from '../store/staff';
import { emptyFieldOf, fieldOf, formRefusal, linesOf, readForm, showAgain, type Values } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame, staffOf } from '../web/visitor';
import { accountLabels, signInForm } from './form';
import { nameKey } from './name';
import { nextPath } from './next-path';
import type { AccountParts } from './parts';
import { passwordFits } from './password';
import { endSession, giveSession, openSession } from './session';
import type { SignInPage } from './view-models';

export function signInRoutes(parts: AccountParts, limits: RequestHandler[]): Router {
  const { store, views, now } = parts;
  const router = Router();

  const page = (req: Request, res: Response, next: string, values: Values = {}, problems: Problem[] = []): string => {
    const model: SignInPage = {
      ...staffFrame(req, res, { title: 'Sign in', problems: linesOf(problems, ['name', 'password']) }),
      name: fieldOf(values, problems, 'name'),
      password: emptyFieldOf(problems, 'password'),
      next,
    };
    return views.page('account/sign-in', model);
  };

  router.get('/account/sign-in', async (req, res) => {
    const next = nextPath(req.query.next);
    if (staffOf(req)) return res.redirect(303, next);
    if (!(await anyStaff(store.db))) return res.redirect(303, '/account/first');
    res.type('html').send(page(req, res, next));
  });

  router.post('/account/sign-in', ...limits, async (req, res) => {
    const read = readForm(req, signInForm, accountLabels);
    const next = nextPath(read.values.next);
    if (!read.ok) {
      return showAgain(req, res, formRefusal(read.problems), () => page(req, res, next, read.values, read.problems));
    }
    const staff = await staffByNameKey(store.db, nameKey(read.data.name));
    const fits = await passwordFits(read.data.password, staff?.password ?? null);
    const session =
      staff && fits
        ? await store.write(async (tx) => {
            // The password may have been set anew while this one was being checked.
            const still = (await staffById(tx, staff.id))?.password === staff.password;
            return still ? openSession(tx, req, staff.id, now()) : null;
          })
        : null;
    if (!session) {
      const problems = [{ code: 'wrong-password', message: unknown, path: '' }];
      return showAgain(req, res, new Refusal('wrong-password', unknown), () =>
        page(req, res, next, read.values, problems),
      );
    }
    giveSession(res, session, parts);
    res.redirect(303, next);
  });

  router.post('/account/sign-out', async (req, res) => {
    const read = readForm(req, z.strictObject({}), accountLabels);
    if (!read.ok) throw formRefusal(read.problems);
    await endSession(req, res, parts);
    res.redirect(303, '/account/sign-in');
  });
  return router;
}

/** The same words whether the name or the password is wrong. */
const unknown =
  'Name and password don’t go together. Check both; a lost password is reset on the server with the command staff reset.';
