import { type Request, type RequestHandler, type Response, Router } from 'express';
import type { Problem } from '../../shared/problem';
import {
  endSessionsOfStaff,
  liveStaffToken,
  setStaffPassword,
  staffById,
  useAllResets,
  useStaffToken,
} from '../store/staff';
import type { Db, StaffRow } from '../store/tables';
import { emptyFieldOf, fieldOf, formRefusal, linesOf, readForm, showAgain, type Values } from '../web/forms';
import { tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { staffFrame } from '../web/visitor';
import { accountLabels, invitedForm, resetForm } from './form';
import { admit, nameTaken, staffRow } from './new-staff';
import type { AccountParts } from './parts';
import { hashPassword } from './password';
import { giveSession, openSession } from './session';
import type { TokenPage } from './view-models';

/** The pages behind an invitation and behind a link for a new password. Looking at one doesn't use it up. */
export function oneTimeLinkRoutes(parts: AccountParts, limit: RequestHandler): Router {
  const { store, views, now } = parts;
  const router = Router();

  const page = (
    req: Request,
    res: Response,
    { heading, named }: { heading: string; named: boolean },
    values: Values = {},
    problems: Problem[] = [],
  ): string => {
    const model: TokenPage = {
      ...staffFrame(req, res, {
        title: heading,
        problems: linesOf(problems, named ? ['name', 'password'] : ['password']),
      }),
      action: req.path,
      heading,
      name: named ? fieldOf(values, problems, 'name') : null,
      password: emptyFieldOf(problems, 'password'),
    };
    return views.page('account/token', model);
  };
  const invited = { heading: 'Make your account', named: true };
  const renewed = ({ name }: StaffRow) => ({ heading: `New password for ${name}`, named: false });

  async function ownerOf(db: Db, hash: string, at: Date): Promise<StaffRow> {
    const link = await liveStaffToken(db, 'reset', hash, at.toISOString());
    const staff = link?.staff_id ? await staffById(db, link.staff_id) : undefined;
    if (!staff) throw gone();
    return staff;
  }

  async function mustInvite(db: Db, hash: string, at: Date): Promise<void> {
    if (!(await liveStaffToken(db, 'invite', hash, at.toISOString()))) throw gone();
  }

  router.get('/account/invited/:token', async (req, res) => {
    await mustInvite(store.db, tokenHash(req.params.token), now());
    res.type('html').send(page(req, res, invited));
  });

  router.post('/account/invited/:token', limit, async (req, res) => {
    const hash = tokenHash(String(req.params.token));
    const at = now();
    await mustInvite(store.db, hash, at);
    const read = readForm(req, invitedForm, accountLabels);
    const again = (problems: Problem[]) =>
      showAgain(req, res, formRefusal(problems), () => page(req, res, invited, read.values, problems));
    if (!read.ok) return again(read.problems);
    const { name, password } = read.data;
    const row = staffRow(name, await hashPassword(password), at);
    const session = await store.write(async (tx) => {
      await mustInvite(tx, hash, at);
      const token = await admit(tx, req, row, at);
      // A name that is taken leaves the link as it was.
      if (token) await useStaffToken(tx, hash, at.toISOString());
      return token;
    });
    if (!session) return again([nameTaken(name)]);
    giveSession(res, session, parts);
    res.redirect(303, '/');
  });

  router.get('/account/reset/:token', async (req, res) => {
    const staff = await ownerOf(store.db, tokenHash(req.params.token), now());
    res.type('html').send(page(req, res, renewed(staff)));
  });

  router.post('/account/reset/:token', limit, async (req, res) => {
    const hash = tokenHash(String(req.params.token));
    const at = now();
    const staff = await ownerOf(store.db, hash, at);
    const read = readForm(req, resetForm, accountLabels);
    if (!read.ok) {
      return showAgain(req, res, formRefusal(read.problems), () =>
        page(req, res, renewed(staff), read.values, read.problems),
      );
    }
    const password = await hashPassword(read.data.password);
    const session = await store.write(async (tx) => {
      const { id } = await ownerOf(tx, hash, at);
      await setStaffPassword(tx, id, password);
      await useAllResets(tx, id, at.toISOString());
      // Whoever knew the old password may still be signed in somewhere.
      await endSessionsOfStaff(tx, id);
      return openSession(tx, req, id, at);
    });
    giveSession(res, session, parts);
    res.redirect(303, '/');
  });
  return router;
}

/** The same words for a link that is used, over, or was never made. */
const gone = () =>
  new Refusal('gone', 'It was used already, has run out, or was not copied whole. Ask whoever sent it for a new one.', {
    next: { label: 'Sign in', url: '/account/sign-in' },
  });
