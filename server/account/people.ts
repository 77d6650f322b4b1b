import { type Request, type Response, Router } from 'express';
import QRCode from 'qrcode';
import { z } from 'zod';
import { listStaff } from '../store/staff';
import { dayWords, momentWords } from '../web/dates';
import { formRefusal, readForm } from '../web/forms';
import { linkBase } from '../web/link-base';
import { staffFrame, staffOf } from '../web/visitor';
import { accountLabels } from './form';
import type { AccountParts } from './parts';
import { requireStaff } from './session';
import { createInvitation, type OneTimeLink } from './tokens';
import type { PeoplePage } from './view-models';

/** Who has an account, and a link for one more. */
export function peopleRoutes(parts: AccountParts): Router {
  const { store, views, now } = parts;
  const router = Router();

  const page = async (req: Request, res: Response, made: OneTimeLink | null = null): Promise<string> => {
    const you = staffOf(req);
    const people = await listStaff(store.db);
    const model: PeoplePage = {
      ...staffFrame(req, res, { title: 'People' }),
      people: people.map(({ id, name, created_at }) => ({ name, since: dayWords(created_at), you: id === you?.id })),
      invitation: made && {
        link: made.link,
        qrSvg: await QRCode.toString(made.link, { type: 'svg', margin: 2 }),
        until: momentWords(made.until),
      },
    };
    return views.page('account/people', model);
  };

  router.get('/account', requireStaff(parts), async (req, res) => {
    res.type('html').send(await page(req, res));
  });

  router.post('/account/invite', requireStaff(parts), async (req, res) => {
    const read = readForm(req, z.strictObject({}), accountLabels);
    if (!read.ok) throw formRefusal(read.problems);
    // Shown in the answer itself and nowhere else: only its hash is kept.
    res.type('html').send(await page(req, res, await createInvitation(store, linkBase(req, parts), now)));
  });
  return router;
}
