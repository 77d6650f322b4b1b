import type { Request, RequestHandler } from 'express';
import { ipKeyGenerator, rateLimit } from 'express-rate-limit';
import { Refusal } from './refusal';

export interface Limit {
  /** Failed attempts that are allowed … */
  attempts: number;
  /** … within this time. */
  minutes: number;
}

/** Lets through a number of failed attempts (answered with 400 or above) per key; then all wait until the time is over. */
export function limitFailures(
  limit: Limit,
  keyOf: (req: Request) => string,
  next?: { label: string; url: string },
): RequestHandler {
  return rateLimit({
    windowMs: limit.minutes * 60_000,
    limit: limit.attempts,
    keyGenerator: keyOf,
    skipSuccessfulRequests: true,
    standardHeaders: false,
    legacyHeaders: false,
    // Anyone can send these two headers; that they aren't believed is no reason for a line in the log.
    validate: { xForwardedForHeader: false, forwardedHeader: false },
    handler: (req, res, pass) => {
      const reset = (req as Request & { rateLimit?: { resetTime?: Date } }).rateLimit?.resetTime;
      const seconds = Math.max(1, Math.ceil(((reset?.getTime() ?? Date.now()) - Date.now()) / 1000));
      res.set('Retry-After', String(seconds));
      const minutes = Math.ceil(seconds / 60);
      const wait = minutes === 1 ? 'a minute' : `${minutes} minutes`;
      pass(
        new Refusal('too-many', `There were too many failed attempts. Wait ${wait}, then try again.`, next && { next }),
      );
    },
  });
}

/** The address that a request came from, IPv6 by its network. */
export function addressOf(req: Request): string {
  return ipKeyGenerator(req.ip ?? '');
}
