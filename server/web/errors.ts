import { randomBytes } from 'node:crypto';
import type { ErrorRequestHandler, Request, RequestHandler, Response } from 'express';
import type { Logger } from 'pino';
import type { ErrorPage } from '../account/view-models';
import { Refusal, type RefusalCode } from './refusal';
import { traceOf } from './trace';
import type { Views } from './views';
import { staffFrame } from './visitor';

export { Refusal, type RefusalCode } from './refusal';

/** Whether a person's browser asked. A program, or a script on a page, names JSON or anything. */
export function wantsPage(req: Request): boolean {
  return /\btext\/html\b/i.test(req.headers.accept ?? '') && req.accepts(['html', 'json']) === 'html';
}

const nothingHere = 'There is nothing at this address. Was the link copied whole?';

/** Stands after all pages: whatever nobody answered. */
export function notFound(): RequestHandler {
  return () => {
    throw new Refusal('not-found', nothingHere);
  };
}

/** Stands last. Refusals leave as they are; of anything else leaves one safe sentence, since its text could unblind. */
export function answerErrors({ views, log }: { views: Views; log: Logger }): ErrorRequestHandler {
  return (error: unknown, req, res, _next) => {
    const refusal = known(error) ?? internal(error, req, log);
    // Half an answer has left already: all that is left is to let the other side see that it is broken off.
    if (res.headersSent) return void res.destroy();
    res.status(refusal.status);
    if (wantsPage(req)) sendPage(refusal, req, res, views, log);
    else res.json(refusal);
  };
}

function sendPage(refusal: Refusal, req: Request, res: Response, views: Views, log: Logger): void {
  let html: string;
  try {
    const page: ErrorPage = {
      ...staffFrame(req, res, { title: refusal.heading }),
      heading: refusal.heading,
      sentence: refusal.message,
      code: refusal.code,
      next: refusal.next,
    };
    html = views.page('web/error', page);
  } catch (error) {
    log.error({ trace: traceOf(error) }, 'the error page itself failed');
    return void res.type('text').send(`${refusal.message}\n`);
  }
  res.type('html').send(html);
}

/** What is thrown by Express and its body parsers for input that can't be read. */
const fromParsers: Record<string, [RefusalCode, string]> = {
  'entity.parse.failed': ['bad-json', 'The request is not valid JSON.'],
  'entity.too.large': [
    'too-large',
    'This is more than the server takes at once, which is 64 kB. Shorten it and send it again.',
  ],
  'parameters.too.many': ['too-large', 'This form has more fields than the server takes, which is 1000.'],
  'encoding.unsupported': ['wrong-kind', 'The request is compressed in a way that the server does not read.'],
  'charset.unsupported': ['wrong-kind', 'The request is not in UTF-8.'],
  'request.size.invalid': ['bad-input', 'The request broke off. Send it again.'],
  'request.aborted': ['bad-input', 'The request broke off. Send it again.'],
};

function known(error: unknown): Refusal | null {
  if (error instanceof Refusal) return error;
  if (!(error instanceof Error)) return null;
  const { type, status } = error as Error & { type?: unknown; status?: unknown };
  const parser = typeof type === 'string' && Object.hasOwn(fromParsers, type) ? fromParsers[type] : undefined;
  if (parser) return new Refusal(...parser);
  if (error instanceof URIError && status === 400) {
    return new Refusal(
      'bad-address',
      'This address has a percent sign that stands for no letter. Was it copied whole?',
    );
  }
  // What Express itself refuses is marked as fit to be told: a file that isn't there, a body that isn't what it says.
  if (!('expose' in error) || error.expose !== true || typeof status !== 'number' || status >= 500) return null;
  return status === 404
    ? new Refusal('not-found', nothingHere)
    : new Refusal('bad-input', 'The request could not be read.');
}

function internal(error: unknown, req: Request, log: Logger): Refusal {
  const reference = randomBytes(4).toString('hex');
  // The pattern of the route and not the address, which may hold a token; no message and no body, which may hold an answer.
  const route: unknown = req.route?.path;
  log.error(
    { reference, method: req.method, route: typeof route === 'string' ? route : null, trace: traceOf(error) },
    'internal error',
  );
  return new Refusal(
    'internal',
    `This is a fault of the server, not yours. Try again; if it happens again, tell whoever runs the server the number ${reference}.`,
  );
}
