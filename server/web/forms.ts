import express, { type Request, type RequestHandler, type Response } from 'express';
import type { z } from 'zod';
import type { Problem } from '../../shared/problem';
import { wantsPage } from './errors';
import type { Field, ProblemLine } from './page';
import { type Labels, problemsOf } from './problems';
import { Refusal } from './refusal';
import { formsWithFiles, uploadPath } from './upload';

/** The largest body of a form or an act. A plan with eight prototypes and all their units takes a quarter of it. */
export const bodyLimit = 64 * 1024;

/** Reads the bodies of forms and of JSON requests, of a form with a file what stands before it; refuses every other kind. */
export function bodies(): RequestHandler[] {
  return [
    express.urlencoded({ extended: false, limit: bodyLimit, parameterLimit: 1000 }),
    express.json({ limit: bodyLimit, reviver: whole }),
    formsWithFiles(),
    (req, _res, next) => {
      const kinds = ['urlencoded', 'json', ...(uploadPath.test(req.path) ? ['multipart/form-data'] : [])];
      if (req.headers['content-length'] !== '0' && req.is(kinds) === false) {
        throw new Refusal('wrong-kind', 'Send a form or JSON; this was neither.', {
          path: 'Content-Type',
          allowed: 'application/x-www-form-urlencoded, application/json',
          got: String(req.headers['content-type'] ?? 'none').slice(0, 100),
        });
      }
      next();
    },
  ];
}

/** Half a sign that takes two can't be written to a ledger, so it is no text. Forms can't even carry it. */
function whole(key: string, value: unknown): unknown {
  if (/\p{Surrogate}/u.test(key) || (typeof value === 'string' && /\p{Surrogate}/u.test(value))) {
    throw new SyntaxError('The request holds half a sign.');
  }
  return value;
}

/** The fields of a form or of a JSON body as they came: what is wrong with one is for a schema to say. */
export function inputOf(body: unknown): Record<string, unknown> {
  return typeof body === 'object' && body !== null && !Array.isArray(body) ? { ...body } : {};
}

/** What was typed, by name of field, to be shown again. */
export type Values = Readonly<Record<string, string>>;

export type Read<T> = { ok: true; data: T; values: Values } | { ok: false; problems: Problem[]; values: Values };

/** Checks the body of a form against its schema. Whatever came, it answers with data or with problems. */
export function readForm<S extends z.ZodType>(req: Request, schema: S, labels: Labels): Read<z.output<S>> {
  const body: unknown = req.body ?? {};
  const read = schema.safeParse(body);
  const values = valuesOf(body);
  return read.success
    ? { ok: true, data: read.data, values }
    : { ok: false, problems: problemsOf(read.error, labels, body), values };
}

/** The texts in a body. Of a field that came more than once the last, of anything else nothing. */
export function valuesOf(body: unknown): Values {
  const values: Record<string, string> = Object.create(null) as Record<string, string>;
  if (typeof body !== 'object' || body === null || Array.isArray(body)) return values;
  for (const [name, value] of Object.entries(body)) {
    const last: unknown = Array.isArray(value) ? value.at(-1) : value;
    if (typeof last === 'string') values[name] = last;
    else if (typeof last === 'number') values[name] = String(last);
  }
  return values;
}

/** A field as the page shows it again. Its id is its name, so that the summary of problems can link to it. */
export function fieldOf<Name extends string>(values: Values, problems: readonly Problem[], name: Name): Field<Name> {
  const error = problems.find((problem) => problem.path === name)?.message ?? null;
  return { id: name, name, value: values[name] ?? '', error };
}

/** A field that is always shown empty, since nobody's password goes back over the network. */
export function emptyFieldOf(problems: readonly Problem[], name: string): Field {
  return fieldOf({}, problems, name);
}

/** The summary of problems on top of a page, with links to those fields that the page has. */
export function linesOf(problems: readonly Problem[], fields: readonly string[]): ProblemLine[] {
  return problems.map((problem) => ({ ...problem, field: fields.includes(problem.path) ? problem.path : null }));
}

/** Shows a form again to the person who filled it in, with what was typed and what was wrong; a program gets the refusal. */
export function showAgain(req: Request, res: Response, refusal: Refusal, page: () => string): void {
  if (!wantsPage(req)) throw refusal;
  res.status(refusal.status).type('html').send(page());
}

/** All the problems of a form as one refusal. */
export function formRefusal(problems: readonly Problem[]): Refusal {
  const first = problems[0];
  return new Refusal('bad-input', first?.message ?? 'The form could not be read.', {
    path: first?.path ?? '',
    ...(first?.allowed === undefined ? {} : { allowed: first.allowed }),
    ...(first?.got === undefined ? {} : { got: first.got }),
    problems: [...problems],
  });
}
