import { type Request, type RequestHandler, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import { anyStaff } from '../store/staff';
import { emptyFieldOf, fieldOf, formRefusal, linesOf, readForm, showAgain, type Values } from '../web/forms';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { accountLabels, firstForm } from './form';
import { admit, nameTaken, staffRow } from './new-staff';
import type { AccountParts } from './parts';
import { hashPassword } from './password';
import { giveSession } from './session';
import type { FirstPage } from './view-models';

/** The first account: made once, by whoever can read the terminal. */
export function firstRoutes(parts: AccountParts, limit: RequestHandler): Router {
  const { store, views, firstCode, now } = parts;
  const router = Router();

  const page = (req: Request, res: Response, values: Values = {}, problems: Problem[] = []): string => {
    const model: FirstPage = {
      ...staffFrame(req, res, {
        title: 'Make the first account',
        problems: linesOf(problems, ['code', 'name', 'password']),
      }),
      code: fieldOf(values, problems, 'code'),
      name: fieldOf(values, problems, 'name'),
      password: emptyFieldOf(problems, 'password'),
    };
    return views.page('account/first', model);
  };

  router.get('/account/first', async (req, res) => {
    if (await anyStaff(store.db)) throw gone();
    res.type('html').send(page(req, res));
  });

  router.post('/account/first', limit, async (req, res) => {
    if (await anyStaff(store.db)) throw gone();
    const read = readForm(req, firstForm, accountLabels);
    const again = (problems: Problem[]) =>
      showAgain(req, res, formRefusal(problems), () => page(req, res, read.values, problems));
    if (!read.ok) return again(read.problems);
    const { code, name, password } = read.data;
    if (!firstCode.matches(code)) return again([wrongCode]);
    const at = now();
    const row = staffRow(name, await hashPassword(password), at);
    const session = await store.write(async (tx) => {
      // Two may have got this far at the same time; writes come one after the other.
      if (await anyStaff(tx)) throw gone();
      return admit(tx, req, row, at);
    });
    if (!session) return again([nameTaken(name)]);
    giveSession(res, session, parts);
    res.redirect(303, '/');
  });
  return router;
}

const gone = () =>
  new Refusal(
    'gone',
    'The first account has been made. Sign in, or ask somebody who has an account for an invitation.',
    {
      next: { label: 'Sign in', url: '/account/sign-in' },
    },
  );

const wrongCode: Problem = {
  code: 'wrong-code',
  message: 'This is not the code in the terminal. Each start of the server makes a new one: take the last.',
  path: 'code',
};
