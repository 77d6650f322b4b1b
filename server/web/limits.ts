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
  onlyFailures = true,
): RequestHandler {
  return rateLimit({
    windowMs: limit.minutes * 60_000,
    limit: limit.attempts,
    keyGenerator: keyOf,
    skipSuccessfulRequests: onlyFailures,
    standardHeaders: false,
    legacyHeaders: false,
    // Anyone can send these two headers; that they aren't believed is no reason for a line in the log.
    validate: { xForwardedForHeader: false, forwardedHeader: false },
    handler: (req, res, pass) => {
      const reset = (req as Request & { rateLimit?: { resetTime?: Date } }).rateLimit?.resetTime;
      // The library counts by the machine's clock and not by the server's, which is right: somebody who guesses is slowed
      // down in the time of this world, whatever day it is in a study.
      const seconds = Math.max(1, Math.ceil(((reset?.getTime() ?? Date.now()) - Date.now()) / 1000));
      res.set('Retry-After', String(seconds));
      const minutes = Math.ceil(seconds / 60);
      const wait = minutes === 1 ? 'a minute' : `${minutes} minutes`;
      pass(
        new Refusal(
          'too-many',
          `There were too many ${onlyFailures ? 'failed attempts' : 'requests'}. Wait ${wait}, then try again.`,
          next && { next },
        ),
      );
    },
  });
}

/** Lets through a number of requests per address, whatever comes of them; then all wait until the time is over. */
export function limitRequests(limit: Limit, next?: { label: string; url: string }): RequestHandler {
  return limitFailures(limit, addressOf, next, false);
}

/** The address that a request came from, IPv6 by its network. */
export function addressOf(req: Request): string {
  return ipKeyGenerator(req.ip ?? '');
}
