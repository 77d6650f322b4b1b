import { createHash } from 'node:crypto';
import { type Request, Router } from 'express';
import { valuesOf } from '../web/forms';
import { addressOf, limitFailures } from '../web/limits';
import { firstRoutes } from './first';
import { nameKey } from './name';
import { oneTimeLinkRoutes } from './one-time-links';
import { type AccountParts, attemptLimits } from './parts';
import { peopleRoutes } from './people';
import { recogniseStaff } from './session';
import { signInRoutes } from './sign-in';

/** All pages about accounts. Mounted at the root before the rooms, since it also finds out who is signed in. */
export function accountRoutes(parts: AccountParts): Router {
  const limits = { ...attemptLimits, ...parts.limits };
  const back = { label: 'Sign in', url: '/account/sign-in' };
  const perAddress = limitFailures(limits.perAddress, addressOf, back);
  const perName = limitFailures(limits.perName, nameAtAddress, back);
  const router = Router();
  router.use(recogniseStaff(parts));
  router.use(firstRoutes(parts, perAddress));
  router.use(signInRoutes(parts, [perAddress, perName]));
  router.use(oneTimeLinkRoutes(parts, perAddress));
  router.use(peopleRoutes(parts));
  return router;
}

/** Hashed, so that a key stays short whatever was typed. */
function nameAtAddress(req: Request): string {
  const name = nameKey(valuesOf(req.body).name ?? '');
  return createHash('sha256')
    .update(`${addressOf(req)} ${name}`)
    .digest('hex');
}
