import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { get } from 'node:https';
import { connect, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { io } from 'socket.io-client';
import { afterEach, beforeEach, expect, test } from 'vitest';
import { root } from '../../server/root';
import { run } from '../cli/kept-house';

/** The real thing: processes of their own, started as a person starts them. */

let data: string;
const started: ChildProcess[] = [];

beforeEach(() => {
  data = mkdtempSync(join(tmpdir(), 'fair-hearing-start-'));
});
afterEach(() => {
  for (const child of started.splice(0)) child.kill('SIGKILL');
  rmSync(data, { recursive: true, force: true });
});

interface Started {
  child: ChildProcess;
  said: { out: string; err: string };
  ended: Promise<number | null>;
  /** Resolves with the address as soon as it is printed. */
  address: Promise<string>;
}

const fh = (words: string[], environment: NodeJS.ProcessEnv = {}) =>
  start(process.execPath, [join(root, 'server/start/fh.mjs'), ...words], environment);

function start(program: string, words: string[], environment: NodeJS.ProcessEnv = {}): Started {
  const { PORT, HOST, FAIR_HEARING_DATA, ...clean } = process.env;
  const child = spawn(program, words, { cwd: root, env: { ...clean, ...environment } });
  started.push(child);
  const said = { out: '', err: '' };
  const ended = new Promise<number | null>((resolve) => child.on('close', resolve));
  const address = new Promise<string>((resolve, reject) => {
    child.stdout?.on('data', (text) => {
      said.out += text;
      const found = /On this machine +(\S+)\n/.exec(said.out)?.[1];
      if (found) resolve(found);
    });
    child.stderr?.on('data', (text) => {
      said.err += text;
    });
    child.on('close', (code) => reject(new Error(`ended with ${code} before it served: ${said.err}`)));
  });
  address.catch(() => undefined);
  return { child, said, ended, address };
}

async function freePort(): Promise<{ port: number; release(): Promise<void> }> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '0.0.0.0', resolve));
  const address = server.address();
  if (address === null || typeof address === 'string') throw new Error('no port');
  return { port: address.port, release: () => new Promise((resolve) => server.close(() => resolve())) };
}

const gone = (url: string) =>
  fetch(`${url}/health`).then(
    () => false,
    () => true,
  );

test('serves where the environment chooses, says where, and ends cleanly at SIGINT', async () => {
  const { port, release } = await freePort();
  await release();
  const environment = { PORT: String(port), HOST: '127.0.0.1', FAIR_HEARING_DATA: data };
  const { child, said, ended, address } = fh(['serve'], environment);
  const url = await address;
  expect(url).toBe(`http://127.0.0.1:${port}`);
  const health = await fetch(`${url}/health`);
  expect(health.status).toBe(200);
  expect(await health.json()).toBeTypeOf('object');
  expect(said.out).toMatch(/[ACDEFGHJKMNPQRTUVWXY34679]{4}(-[ACDEFGHJKMNPQRTUVWXY34679]{4}){2}/);
  expect(said.out).toContain('--host 0.0.0.0');
  expect(readdirSync(data)).toContain('fair-hearing.sqlite');
  child.kill('SIGINT');
  expect(await ended).toBe(0);
  expect(said.err).toBe('');
  expect(await gone(url)).toBe(true);
});

test('an open page does not hold up the end at SIGTERM', async () => {
  const { child, said, ended, address } = fh(['serve', '--port', '0', '--data', data]);
  const url = await address;
  const socket = io(url, { transports: ['websocket'], reconnection: false });
  const idle = connect(Number(new URL(url).port), 'localhost');
  await Promise.all([
    new Promise((resolve) => socket.once('connect', () => resolve(true)).once('connect_error', resolve)),
    new Promise((resolve) => idle.once('connect', resolve)),
  ]);
  child.kill('SIGTERM');
  expect(await ended).toBe(0);
  expect(said.err).toBe('');
  expect(await gone(url)).toBe(true);
  socket.close();
  idle.destroy();
});

test('with a certificate and its key the pages travel encrypted', async () => {
  const file = (name: string) => join(root, 'tests/start/tls', name);
  const words = ['--tls-cert', file('certificate.pem'), '--tls-key', file('key.pem')];
  const { address } = fh(['serve', '--port', '0', '--data', data, ...words]);
  const url = await address;
  expect(url).toMatch(/^https:/);
  const status = await new Promise((resolve, reject) => {
    const request = get(`${url}/health`, { ca: readFileSync(file('certificate.pem')) }, (response) => {
      response.resume();
      resolve(response.statusCode);
    });
    request.on('error', reject);
  });
  expect(status).toBe(200);
});

test('a taken port is said in plain words', async () => {
  const { port, release } = await freePort();
  const { said, ended } = fh(['serve', '--port', String(port), '--data', data]);
  expect(await ended).toBe(2);
  await release();
  expect(said.out).toBe('');
  const { error } = JSON.parse(said.err) as { error: { code: string; message: string; path: string } };
  expect(error).toMatchObject({ code: 'port-taken', path: '--port', got: String(port) });
  expect(error.message).toContain(`Port ${port} is taken`);
});

test.each([
  [['--host', '203.0.113.1'], '--host'],
  [['--data', 'package.json'], '--data'],
  [['--tls-cert', 'gone.pem', '--tls-key', 'gone.pem'], '--tls-cert'],
])('%j is refused by its name', async (words, path) => {
  const said = await run('serve', '--port', '0', '--data', data, ...words);
  expect(said).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(said.stderr)).toMatchObject({ error: { path } });
});

test('beside a server: no second one on its data, an invitation opens there, and a kill leaves nothing in the way', async () => {
  const first = fh(['serve', '--port', '0', '--host', '127.0.0.1', '--data', data]);
  const url = await first.address;
  const second = fh(['serve', '--port', '0', '--data', data]);
  expect(await second.ended).toBe(2);
  expect(JSON.parse(second.said.err)).toMatchObject({ error: { code: 'data-in-use', path: '--data' } });

  const invited = fh(['staff', 'invite', '--data', data, '--json']);
  expect(await invited.ended).toBe(0);
  const { link } = JSON.parse(invited.said.out) as { link: string };
  expect(link.startsWith(`${url}/account/invited/`)).toBe(true);
  expect((await fetch(link)).status).toBe(200);

  const unknown = fh(['staff', 'reset', 'Nobody', '--data', data]);
  expect(await unknown.ended).toBe(2);
  expect(JSON.parse(unknown.said.err)).toMatchObject({ error: { path: 'NAME', got: 'Nobody' } });
  const elsewhere = await run('staff', 'invite', '--data', join(data, 'elsewhere'));
  expect(elsewhere.code).toBe(2);
  expect(JSON.parse(elsewhere.stderr)).toMatchObject({ error: { path: '--data' } });
  expect(readdirSync(data)).not.toContain('elsewhere');

  first.child.kill('SIGKILL');
  await first.ended;
  await fh(['serve', '--port', '0', '--data', data]).address;
});

test('npm start passes its end on to the server', async () => {
  const npm = process.env.npm_execpath?.endsWith('js') ? [process.execPath, process.env.npm_execpath] : ['npm'];
  const [program = 'npm', ...words] = npm;
  const { child, address } = start(program, [...words, 'start', '--', '--port', '0', '--data', data]);
  const url = await address;
  child.kill('SIGTERM');
  await expect.poll(() => gone(url), { timeout: 20_000 }).toBe(true);
});

test('the page files are bundled under their names, and two at once agree', async () => {
  const { bundleClient } = await import('../../server/start/bundle.mjs');
  const [folder, same] = await Promise.all([bundleClient(), bundleClient()]);
  expect(same).toBe(folder);
  for (const name of ['phone.js', 'desk.js', 'page.js', 'phone.css', 'page.css']) {
    expect(readFileSync(join(folder, name), 'utf8').length).toBeGreaterThan(0);
  }
});
