import { createConnection } from 'node:net';
import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { Refusal } from '../../server/web/errors';
import { openHouse } from '../account/house';

const canary = 'canary-prototype-nightingale';
/** Errors as they come from inside: each holds what nobody outside may read, in every place where it could stand. */
const planted: Record<string, () => unknown> = {
  message: () => new Error(`417 is ${canary}`),
  'message like a frame': () => new Error(`x\n    at ${canary} (/x.js:1:1)`),
  name: () => Object.assign(new Error('x'), { name: canary }),
  code: () => Object.assign(new Error('x'), { code: canary }),
  cause: () => new Error('x', { cause: new Error(canary) }),
  text: () => canary,
  'status from elsewhere': () => Object.assign(new Error(canary), { status: 400 }),
  nothing: () => undefined,
};

const withPages = () =>
  openHouse({
    pages: (app) => {
      app.get('/fault/:kind', (req) => {
        throw planted[req.params.kind]?.();
      });
      app.post('/fault/:kind', async (req) => {
        throw new Error(`${canary} ${JSON.stringify(req.body)}`);
      });
      app.get('/half', (_req, res) => {
        res.write('half');
        throw new Error(canary);
      });
      app.get('/refused', () => {
        throw new Refusal('wrong-state', 'The session is closed.', {
          path: 'session',
          allowed: 'an open session',
          got: 'closed',
          next: { label: 'Back to the desk', url: '/studies/1/run' },
        });
      });
    },
  });

describe('a fault of the server', () => {
  it.each(Object.keys(planted).filter((kind) => kind !== 'nothing'))('leaks nothing: %s', async (kind) => {
    const house = await withPages();
    const browser = house.browser();
    const path = `/fault/${encodeURIComponent(kind)}`;
    const [page, json] = [await browser.open(path), await browser.agent.get(path)];
    for (const answer of [page, json]) {
      expect(answer.status).toBe(500);
      expect(JSON.stringify([answer.text, answer.headers])).not.toMatch(/canary|nightingale|node_modules|\.ts/);
    }
    expect(page.text).toContain('Code: internal');
    expect(json.body.error.code).toBe('internal');
    const reference = /number (\w{8})/.exec(json.body.error.message)?.[1];
    expect(house.log).toHaveLength(2);
    expect(house.log.join('')).not.toContain(canary);
    expect(JSON.parse(house.log[1] ?? '')).toMatchObject({ reference, method: 'GET', route: '/fault/:kind' });
  });

  it('is logged with the place where it arose, without the body that was sent', async () => {
    const house = await withPages();
    const browser = house.browser();
    const answer = await browser.json('/fault/token-in-address', { answer: 'the-answer' }, '/account/first');
    expect(answer.status).toBe(500);
    const line = house.log.join('');
    expect(line).toContain('errors.test.ts');
    expect(line).not.toMatch(/the-answer|canary|token-in-address/);
  });

  it('breaks off an answer that had begun', async () => {
    const house = await withPages();
    await expect(house.browser().agent.get('/half')).rejects.toThrow(/aborted|hang up/);
    expect(house.log).toHaveLength(1);
  });
});

describe('a refusal', () => {
  it('is a page for people', async () => {
    const answer = await (await withPages()).browser().open('/refused');
    expect(answer.status).toBe(409);
    expect(answer.type).toBe('text/html');
    expect(answer.text).toContain('The session is closed.</p>');
    expect(answer.text).toContain('<a class="button" href="/studies/1/run">Back to the desk</a>');
    expect(answer.text).toContain('Code: wrong-state');
  });

  it.each([undefined, '*/*', 'application/json', 'application/json, text/html;q=0.5', 'image/png'])(
    'is JSON for Accept: %s',
    async (accept) => {
      const house = await withPages();
      const request = house.browser().agent.get('/refused');
      const answer = await (accept ? request.set('Accept', accept) : request);
      expect(answer.status).toBe(409);
      expect(answer.body).toEqual({
        error: {
          code: 'wrong-state',
          message: 'The session is closed.',
          path: 'session',
          allowed: 'an open session',
          got: 'closed',
        },
      });
      expect(house.log).toEqual([]);
    },
  );
});

describe('what can’t be read', () => {
  it('is answered by 4xx and a code', async () => {
    const house = await withPages();
    const { agent } = house.browser();
    const send = (type: string, body: string | Buffer) =>
      agent.post('/account/first').set('Content-Type', type).send(body);
    const form = 'application/x-www-form-urlencoded';
    const cases: [
      string,
      () => PromiseLike<{ status: number; body: { error?: { code?: string } } }>,
      number,
      string,
    ][] = [
      ['malformed JSON', () => send('application/json', '{"name": "x'), 400, 'bad-json'],
      ['JSON that is no object', () => send('application/json', '"x"'), 400, 'bad-json'],
      ['too large JSON', () => send('application/json', `"${'x'.repeat(70_000)}"`), 413, 'too-large'],
      ['too large form', () => send(form, `name=${'x'.repeat(70_000)}`), 413, 'too-large'],
      ['too many fields', () => send(form, 'a=1&'.repeat(1200)), 413, 'too-large'],
      ['another kind of body', () => send('text/plain', 'name=x'), 415, 'wrong-kind'],
      ['multipart', () => agent.post('/account/first').field('name', 'x'), 415, 'wrong-kind'],
      ['an unknown charset', () => send('application/json; charset=x-nothing', '{}'), 415, 'wrong-kind'],
      ['an unknown encoding', () => send(form, 'a=1').set('Content-Encoding', 'zip'), 415, 'wrong-kind'],
      ['false compression', () => send(form, 'a=1').set('Content-Encoding', 'gzip'), 400, 'bad-input'],
      ['a bomb', () => gzipped(agent, Buffer.alloc(2_000_000, 'a')), 413, 'too-large'],
      ['an address with a stray percent sign', () => agent.get('/account/reset/%E0%A4%A'), 400, 'bad-address'],
      ['a path out of the client folder', () => agent.get('/client/..%2f..%2fsecret'), 404, 'not-found'],
      ['a bad address in the client folder', () => agent.get('/client/%E0%A4%A'), 404, 'not-found'],
      ['nothing there', () => agent.get('/nowhere'), 404, 'not-found'],
    ];
    for (const [what, request, status, code] of cases) {
      const answer = await request();
      expect([what, answer.status, answer.body.error?.code]).toEqual([what, status, code]);
    }
    expect(house.log).toEqual([]);
  });

  it('is a page with the usual frame for people, even before the body was read', async () => {
    const { agent } = (await withPages()).browser();
    const answer = await agent.post('/account/first').type('json').set('Accept', 'text/html').send('{');
    expect(answer.status).toBe(400);
    expect(answer.text).toContain('Code: bad-json');
    expect(answer.text).toContain('<main id="main"');
  });

  it('does not take the server down: bytes that are no HTTP', async () => {
    const house = await withPages();
    const { hostname, port } = new URL(house.origin);
    await new Promise<void>((resolve) => {
      const socket = createConnection(Number(port), hostname, () => socket.write('\u0000\u0001 nonsense\r\n\r\n'));
      socket
        .on('close', () => resolve())
        .on('error', () => resolve())
        .resume();
    });
    expect((await house.browser().open('/account/first')).status).toBe(200);
  });
});

type Agent = Awaited<ReturnType<typeof withPages>> extends { browser(): { agent: infer A } } ? A : never;
function gzipped(agent: Agent, body: Buffer) {
  const request = agent.post('/account/first').set('Content-Type', 'application/json').set('Content-Encoding', 'gzip');
  request.write(gzipSync(body));
  return request;
}
