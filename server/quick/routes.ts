import { type Request, type Response, Router } from 'express';
import { z } from 'zod';
import type { Problem } from '../../shared/problem';
import { listenerDays, listenerOf } from '../account/listener-identity';
import type { Loudness } from '../audio/loudness';
import type { SoundFacts } from '../audio/shelf';
import { SoundError } from '../audio/sound-error';
import type { Parts } from '../parts';
import { excerptSeconds } from '../sound-ready';
import { findSoundFile } from '../store/sounds';
import { putSoundFile } from '../store/study-sounds';
import { signedIn } from '../study-page';
import { cookieNames, readCookie, setCookie } from '../web/cookies';
import { visitToken } from '../web/csrf';
import { linesOf, type Values, valuesOf } from '../web/forms';
import { problemsOf } from '../web/problems';
import { randomToken, tokenHash } from '../web/random-token';
import { Refusal } from '../web/refusal';
import { uploadOf } from '../web/upload';
import { staffFrame } from '../web/visitor';
import { beginQuickCheck, finishQuickCheck, type QuickSteps } from './quick-check';
import type { QuickFile, QuickPage } from './view-models';

const slots = ['first', 'second'] as const;
type Slot = (typeof slots)[number];

/** A field that is what it must be, or refused in these words. */
const oneOf = (pattern: RegExp, refusal: string) =>
  z
    .string()
    .default('')
    .refine((value) => pattern.test(value), refusal);

const starting = z.strictObject({
  first: oneOf(/^[0-9a-f]{64}$/, 'The first file is missing. Choose it and add it.'),
  second: oneOf(/^[0-9a-f]{64}$/, 'The second file is missing. Choose it and add it.'),
  firstName: z.string().max(200).default(''),
  secondName: z.string().max(200).default(''),
  method: oneOf(/^(?:abx|paired-preference)$/, 'Choose what you want to know.').transform(
    (method) => method as 'abx' | 'paired-preference',
  ),
  trials: z.coerce.number<string>().int().min(5).max(30),
  ears: oneOf(/^yes$/, 'Only with ears that are well today. With pain or ringing, listen another day.'),
});
const labels = { trials: 'The number of trials' };

/** A quick check: two files dropped, and the first trial a few taps later. Nothing is scored on the way. */
export function quickRoutes(parts: Parts, steps: QuickSteps): Router {
  const { store, views } = parts;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    values: Values,
    problems: readonly Problem[],
    next: QuickPage['next'] = null,
  ): Promise<QuickPage> {
    const errorAt = (path: string) => problems.find((problem) => problem.path === path)?.message ?? null;
    const file = async (slot: Slot): Promise<QuickFile> => {
      const sha256 = values[slot] ?? '';
      const row = sha256 === '' ? undefined : await findSoundFile(store.db, sha256);
      const other = slot === 'first' ? 'second' : 'first';
      return {
        slot,
        label: slot === 'first' ? 'First file' : 'Second file',
        there: row ? { sha256, name: values[`${slot}Name`] ?? '', detail: detailOf(row) } : null,
        other: { slot: other, sha256: values[other] ?? '', name: values[`${other}Name`] ?? '' },
        error: errorAt(slot),
      };
    };
    return {
      ...staffFrame(req, res, {
        title: 'Quick check',
        problems: linesOf(problems, ['first', 'second', 'method', 'trials', 'ears']),
      }),
      next,
      files: [await file('first'), await file('second')],
      methods: [
        { value: 'abx', label: 'Can I hear a difference?', hint: 'ABX', chosen: values.method !== 'paired-preference' },
        {
          value: 'paired-preference',
          label: 'Which one do I prefer?',
          hint: 'Paired preference. One listener’s preference says nothing of others: it shows counts and no verdict.',
          chosen: values.method === 'paired-preference',
        },
      ],
      methodError: errorAt('method'),
      trials: { value: values.trials ?? '10', error: errorAt('trials') },
      earsError: errorAt('ears'),
      ready: [values.first, values.second].every((sha256) => sha256),
    };
  }

  router.get('/quick', async (req, res) => {
    res.send(views.page('quick/quick', await page(req, res, valuesOf(req.query), [])));
  });

  router.post('/quick/upload', async (req, res) => {
    const values = valuesOf(req.body);
    const slot = slots.find((one) => one === values.slot) ?? 'first';
    try {
      const upload = uploadOf(req);
      const facts = await parts.sounds.take(upload.source, upload.name);
      const { loudness, overview, sha256, bytes, format, rate, channels, frames } = facts;
      await store.write((tx) =>
        putSoundFile(tx, {
          ...{ sha256, bytes, format, rate, channels, frames },
          facts: JSON.stringify({ loudness, overview }),
          at: parts.now().toISOString(),
        }),
      );
      const kept = new URLSearchParams(
        Object.entries({ ...pick(values), [slot]: sha256, [`${slot}Name`]: upload.name }),
      );
      res.redirect(303, `/quick?${kept}`);
    } catch (error) {
      if (!(error instanceof SoundError || error instanceof Refusal)) throw error;
      const problem = { code: error.code, path: slot, message: error.message };
      res.status(400).send(views.page('quick/quick', await page(req, res, values, [problem])));
    }
  });

  router.post('/quick', async (req, res) => {
    const values = valuesOf(req.body);
    const read = starting.safeParse({ ...values });
    const again = async (status: number, problems: readonly Problem[], next: QuickPage['next'] = null) =>
      void res.status(status).send(views.page('quick/quick', await page(req, res, values, problems, next)));
    if (!read.success) return again(400, problemsOf(read.error, labels, values));
    const { first, second, firstName, secondName, method, trials } = read.data;
    const [a, b] = [await factsOf(first, firstName), await factsOf(second, secondName)];
    const problems = problemsWith(a, b);
    if (!a || !b || problems.length > 0) return again(400, problems);
    const listener = await listenerOf(store.db, req.headers);
    const held = readCookie(req.headers, cookieNames.listener);
    const token = listener && held ? held : randomToken();
    try {
      const names = twoNames(firstName, secondName);
      const begun = await beginQuickCheck(
        parts,
        steps,
        signedIn(req),
        { id: listener?.id ?? null, token, device: tokenHash(visitToken(req, res)) },
        { method, trials, names, files: [a, b] },
      );
      if (begun.isNew) setCookie(res, cookieNames.listener, token, { tls: parts.tls, days: listenerDays });
      res.redirect(303, '/listen');
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      // What is no fault of the files stands above the form, with the way out of it.
      const next = error.next.url === '/' ? null : error.next;
      const pathOf = (path: string) => (next ? '' : path === 'trials' ? 'trials' : 'second');
      await again(
        error.status,
        error.allProblems.map((one) => ({ ...one, path: pathOf(one.path) })),
        next,
      );
    }
  });

  router.post('/quick/done', async (req, res) => {
    const listener = await listenerOf(store.db, req.headers);
    const study = await finishQuickCheck(parts, steps, signedIn(req), listener?.id ?? null);
    res.redirect(303, `/studies/${study}/review`);
  });

  async function factsOf(sha256: string, name: string): Promise<SoundFacts | null> {
    const row = await findSoundFile(store.db, sha256);
    if (!row) return null;
    const { facts, at: _, ...own } = row;
    const more = JSON.parse(facts) as { loudness: Loudness; overview: SoundFacts['overview'] };
    return { ...own, name, ...more } as SoundFacts;
  }

  return router;
}

const pick = (values: Values): Record<string, string> =>
  Object.fromEntries(
    ['first', 'second', 'firstName', 'secondName'].flatMap((key) => (values[key] ? [[key, values[key]]] : [])),
  );

function problemsWith(a: SoundFacts | null, b: SoundFacts | null): Problem[] {
  if (!a) return [{ code: 'missing', path: 'first', message: 'The first file is missing. Choose it and add it.' }];
  if (!b) return [{ code: 'missing', path: 'second', message: 'The second file is missing. Choose it and add it.' }];
  if (a.sha256 === b.sha256) {
    return [{ code: 'repeated', path: 'second', message: 'This is the first file again. Choose another one.' }];
  }
  const short = [a, b].findIndex(({ frames, rate }) => frames < rate * excerptSeconds.least);
  if (short >= 0) {
    const { frames, rate } = [a, b][short] as SoundFacts;
    const message = `This file lasts ${(frames / rate).toFixed(2)} s. A piece needs ${excerptSeconds.least} s at least.`;
    return [{ code: 'too-short', path: slots[short] ?? 'second', message }];
  }
  if (a.rate !== b.rate) {
    return [
      {
        code: 'another-rate',
        path: 'second',
        message: `The first file has ${a.rate} samples a second, this one ${b.rate}. Converting one of them could be heard: export both at one rate.`,
        allowed: String(a.rate),
        got: String(b.rate),
      },
    ];
  }
  return [];
}

/** Names of two prototypes: as the files are called, kept apart, and none that reads like a code. */
export function twoNames(first: string, second: string): [string, string] {
  const bare = (name: string, otherwise: string): string => {
    const short = name
      .replace(/\.[A-Za-z0-9]{2,4}$/, '')
      .trim()
      .slice(0, 50);
    return short === '' || /^\d{3}$/.test(short) ? `${otherwise} ${short}`.trim() : short;
  };
  const names: [string, string] = [bare(first, 'File A'), bare(second, 'File B')];
  const same = names[0].normalize('NFKC').toLowerCase() === names[1].normalize('NFKC').toLowerCase();
  return same ? [`${names[0]} (first)`, `${names[1]} (second)`] : names;
}

function detailOf({
  rate,
  channels,
  frames,
  format,
}: {
  rate: number;
  channels: number;
  frames: number;
  format: string;
}): string {
  const seconds = (frames / rate).toFixed(1);
  return `${seconds} s, ${channels === 1 ? 'mono' : 'stereo'}, ${rate} Hz, ${format.toUpperCase()}`;
}
