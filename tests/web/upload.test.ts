import { createHash, randomBytes } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { request } from 'node:http';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, it, vi } from 'vitest';
import { SoundShelf } from '../../server/audio/shelf';
import { SoundError } from '../../server/audio/sound-error';
import { soundRefusal } from '../../server/web/sound-refusal';
import { uploadOf } from '../../server/web/upload';
import { openHouse } from '../account/house';
import { soundBytes } from '../audio/decoded';

const page = '/account/first';
const here = '/sounds/upload';
const tune = soundBytes('tune.flac');
const boundary = 'a-boundary-of-the-test';

interface Part {
  name: string;
  /** A field when left out. */
  filename?: string;
  content: string | Buffer;
}

/** A form as browsers write it (RFC 7578). */
function form(parts: Part[], end = `--${boundary}--\r\n`): Buffer {
  const written = parts.flatMap(({ name, filename, content }) => [
    `--${boundary}\r\nContent-Disposition: form-data; name="${name}"`,
    filename === undefined ? '' : `; filename="${filename}"\r\nContent-Type: application/octet-stream`,
    '\r\n\r\n',
    content,
    '\r\n',
  ]);
  return Buffer.concat([...written, end].map((one) => Buffer.from(one)));
}

interface Answer {
  status: number;
  body: { error: { code: string; message: string; path: string } } & Record<string, unknown>;
}

/** A house with a page that puts a sound on the shelf, a page that ignores its file, and a browser. */
async function house(limit?: number) {
  let shelf: SoundShelf | null = null;
  const tried: Promise<unknown>[] = [];
  const { folder, origin, log } = await openHouse({
    pages(app) {
      app.post(here, async (req, res) => {
        const { name, source, field } = uploadOf(req);
        const taken = (shelf as SoundShelf).take(source, name);
        tried.push(taken.catch((error: unknown) => error));
        const facts = await taken.catch((error: unknown) => {
          throw error instanceof SoundError ? soundRefusal(error, field) : error;
        });
        res.json({ field, name, sha256: facts.sha256, frames: facts.frames, body: req.body });
      });
      app.post('/ignored/upload', (_req, res) => void res.json({ ok: true }));
    },
  });
  shelf = new SoundShelf(folder, limit === undefined ? {} : { bytes: limit });
  const first = await fetch(`${origin}${page}`, { headers: { Accept: 'text/html' } });
  const cookie = first.headers
    .getSetCookie()
    .map((one) => one.split(';')[0])
    .join('; ');
  const token = /name="_csrf" value="([^"]+)"/.exec(await first.text())?.[1] ?? '';
  const open = (path: string, headers: Record<string, string>, answered: (answer: Answer) => void) =>
    request(`${origin}${path}`, {
      method: 'POST',
      headers: { cookie, 'content-type': `multipart/form-data; boundary=${boundary}`, ...headers },
    }).on('response', async (res) => {
      const pieces: Buffer[] = [];
      for await (const piece of res) pieces.push(piece as Buffer);
      answered({ status: res.statusCode ?? 0, body: JSON.parse(Buffer.concat(pieces).toString()) });
    });
  return {
    log,
    token: { name: '_csrf', content: token },
    tried,
    left: () => readdirSync(join(folder, 'sound')).filter((name) => name !== 'cuts'),
    open,
    send: (body: Buffer, path = here, headers: Record<string, string> = {}) =>
      new Promise<Answer>((resolve, reject) => {
        open(path, { 'content-length': String(body.length), ...headers }, resolve)
          .on('error', reject)
          .end(body);
      }),
  };
}

const sound = (content: Buffer = tune, filename = 'tune.flac'): Part => ({ name: 'sound', filename, content });

describe('a form with a file', () => {
  it('is taken: its fields as a body, its file by streaming', async () => {
    const { token, send, left } = await house();
    const fields = [token, { name: 'excerpt', content: 'a' }, { name: 'excerpt', content: 'ü' }];
    const { status, body } = await send(form([...fields, sound(tune, '../secret/Three\u202e %22notes%22.flac')]));
    const sha256 = createHash('sha256').update(tune).digest('hex');
    expect(body).toEqual({
      field: 'sound',
      name: 'Three "notes".flac',
      sha256,
      frames: 13_230,
      body: { excerpt: ['a', 'ü'] },
    });
    expect(status).toBe(200);
    expect(left()).toEqual([sha256]);
  });

  it.each(['missing', 'wrong', 'after the file', 'in the address'])(
    'is refused before its file with a token that is %s',
    async (how) => {
      const { token, send, left, tried } = await house();
      const before = how === 'wrong' ? [{ ...token, content: `${token.content}x` }] : [];
      const after = how === 'after the file' ? [token] : [];
      const path = how === 'in the address' ? `${here}?_csrf=${token.content}` : here;
      const { status, body } = await send(form([...before, sound(randomBytes(2_000_000)), ...after]), path);
      expect([status, body.error.code]).toEqual([403, 'csrf']);
      expect(tried).toEqual([]);
      expect(left()).toEqual([]);
    },
  );

  it('is refused from another site, and where no file is taken', async () => {
    const { token, send } = await house();
    const elsewhere = await send(form([token, sound()]), here, { origin: 'https://elsewhere.example' });
    expect([elsewhere.status, elsewhere.body.error.code]).toEqual([403, 'origin']);
    const other = await send(form([token, sound()]), page);
    expect([other.status, other.body.error.code]).toEqual([415, 'wrong-kind']);
  });

  it('may come to a page that doesn’t look at its file', async () => {
    const { token, send } = await house();
    expect((await send(form([token, sound(randomBytes(3_000_000))]), '/ignored/upload')).body).toEqual({ ok: true });
  });

  it.each([
    ['no file chosen', [sound(Buffer.alloc(0), '')], 400, 'bad-input', /No file came/],
    ['no file at all', [], 400, 'bad-input', /No file came/],
    ['an empty file', [sound(Buffer.alloc(0), 'a.wav')], 400, 'bad-input', /is empty/],
    ['a text', [sound(Buffer.from('these are words. '.repeat(99)))], 400, 'bad-input', /is text/],
    ['another format than its name', [sound(tune, 'a.wav')], 400, 'bad-input', /named WAV and is FLAC inside/],
    ['a file cut off', [sound(tune.subarray(0, 5000))], 400, 'bad-input', /breaks off/],
    ['two files', [sound(), sound()], 400, 'bad-input', /one file at a time/],
    ['a field after the file', [sound(), { name: 'more', content: '1' }], 400, 'bad-input', /the file comes last/],
    ['a large field', [{ name: 'more', content: 'x'.repeat(9000) }, sound()], 413, 'too-large', /in its fields/],
    ['many fields', [...Array(60).fill({ name: 'more', content: '1' }), sound()], 413, 'too-large', /in its fields/],
  ] as const)('is answered in words and leaves nothing: %s', async (_, parts, status, code, words) => {
    const { token, send, left, log } = await house();
    const answer = await send(form([token, ...(parts as readonly Part[])]));
    expect([answer.status, answer.body.error.code]).toEqual([status, code]);
    expect(answer.body.error.message).toMatch(words);
    expect(left()).toEqual([]);
    expect(log.filter((line) => line.includes('internal'))).toEqual([]);
  });

  it.each([
    ['without its end', form([sound()], ''), {}],
    ['without anything', Buffer.alloc(0), {}],
    ['of other words', Buffer.from('excerpt=a&sound=b'), {}],
    ['without a boundary', form([sound()]), { 'content-type': 'multipart/form-data' }],
    ['cut off in the head of its file', form([sound()]).subarray(0, 60), {}],
  ])('that is malformed is told so: %s', async (_, bytes, headers: Record<string, string>) => {
    const { token, send, left, log } = await house();
    const start = bytes.length > 0 ? form([token], '') : Buffer.alloc(0);
    const answer = await send(Buffer.concat([start, bytes]), here, headers);
    expect([400, 403]).toContain(answer.status);
    expect(answer.body.error.message).toMatch(/(could not be read|broke off|open too long)/);
    expect(left()).toEqual([]);
    expect(log.filter((line) => line.includes('internal'))).toEqual([]);
  });

  it('that is too large is refused by what it says of itself, or once there is too much', async () => {
    const { token, send, left, open } = await house(1_000_000);
    const large = form([token, sound(randomBytes(1_000_001), 'a.wav')]);
    const answer = await send(large);
    expect([answer.status, answer.body.error.code]).toEqual([413, 'too-large']);
    expect(answer.body.error.message).toMatch(/larger than 1 MB/);
    const declared = await new Promise<Answer>((resolve, reject) => {
      const sending = open(here, { 'content-length': '101000001' }, (early) => {
        sending.destroy();
        resolve(early);
      });
      sending.on('error', reject).write(large.subarray(0, 10_000));
    });
    expect([declared.status, declared.body.error.code]).toEqual([413, 'too-large']);
    expect(left()).toEqual([]);
  });

  it('whose sender goes away leaves nothing', async () => {
    const { token, open, left, tried, log } = await house();
    const bytes = form([token, sound(randomBytes(500_000))]);
    const sending = open(here, { 'content-length': String(bytes.length) }, () => {}).on('error', () => {});
    sending.write(bytes.subarray(0, 300_000));
    await vi.waitFor(() => expect(left()).toHaveLength(1));
    sending.destroy();
    await vi.waitFor(() => expect(left()).toEqual([]));
    expect(await tried[0]).toMatchObject({
      code: 'bad-input',
      message: 'The file broke off on its way. Send it again.',
    });
    await pause(20);
    expect(log.filter((line) => line.includes('internal'))).toEqual([]);
  });

  it('whose file is whole and whose end is missing leaves nothing', async () => {
    const { token, open, left, tried } = await house();
    const bytes = form([token, sound()], `--${boundary}\r\nContent-Disposition: form-data; name="more"\r\n\r\n`);
    const sending = open(here, { 'content-length': String(bytes.length + 10) }, () => {}).on('error', () => {});
    sending.write(bytes);
    await vi.waitFor(() => expect(tried).toHaveLength(1));
    // Time enough to put it on the shelf, for one that doesn't wait for the end.
    await pause(300);
    sending.destroy();
    expect(await tried[0]).toMatchObject({
      code: 'bad-input',
      message: 'The file broke off on its way. Send it again.',
    });
    expect(left()).toEqual([]);
  });
});
