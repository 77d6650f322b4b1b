import type { Express } from 'express';
import type { Logger } from 'pino';
import { securityHeaders } from './csp';
import { checkCsrf, noteVisit } from './csrf';
import { answerErrors, notFound } from './errors';
import { bodies } from './forms';
import type { WebParts } from './parts';
import { clientFiles } from './statics';

/** What stands before every page, in this order. `bundle` is the folder with the scripts and styles for browsers. */
export function openFront(app: Express, parts: WebParts & { bundle: string }): void {
  app.disable('x-powered-by');
  app.set('etag', false);
  app.use(securityHeaders(parts));
  app.use(noteVisit(parts));
  app.use(clientFiles(parts.bundle));
  app.use(bodies());
  app.use(checkCsrf(parts));
}

/** What stands after every page: nothing found, and whatever went wrong. */
export function closeFront(app: Express, parts: { views: WebParts['views']; log: Logger }): void {
  app.use(notFound());
  app.use(answerErrors(parts));
}
