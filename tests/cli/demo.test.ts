import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Checked } from '../../server/blinding/check/check-record';
import { main } from '../../server/cli/main';
import { passphrase, plans, profilePanel } from '../../server/demo/cast';
import { textOf } from '../../server/demo/page';
import { PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import type { PlaceSeen } from '../../server/demo/phone-place';
import { StaffBrowser } from '../../server/demo/staff-browser';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';
import { expectChangedBytesNamed } from '../support/changed-bytes';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-demo-test-'));
const record = join(folder, 'record.json');
const data = join(folder, 'data');
let visitor: StaffBrowser;
let said = '';
let ended: Promise<number>;

async function run(...words: string[]) {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}

const shown = (label: string) => new RegExp(`${label} +(.+?)(?: {3}.*)?\n`).exec(said)?.[1] ?? '';
const studyCalled = async (title: string): Promise<string> => {
  const home = await visitor.open('/');
  const link = home.page.all('h2 a').find((one) => one.textContent === title);
  return link?.getAttribute('href') ?? '';
};

/** Played once and served, in a folder that is kept. */
beforeAll(async () => {
  const io = { stdin: Readable.from([]), stdout: new PassThrough(), stderr: new PassThrough() };
  const summary = new Promise<void>((resolve) => {
    io.stdout.on('data', (text: Buffer) => {
      said += text.toString();
      if (said.includes('Passphrase')) resolve();
    });
  });
  ended = main(['demo', '--port', '0', '--host', '127.0.0.1', '--data', data], io);
  await Promise.race([summary, ended]);
  if (!said.includes('Passphrase')) throw new Error(`The demo ended early: ${said}${io.stderr.read() ?? ''}`);
  visitor = new StaffBrowser(new URL(shown('Open')).origin, { name: 'visitor' });
  await visitor.signIn({ name: shown('Name'), password: shown('Password') });
});
afterAll(async () => {
  process.emit('SIGTERM');
  await ended;
  rmSync(folder, { recursive: true, force: true });
});

test('says at the terminal that all is invented and how to get in', () => {
  expect(said).toMatch(/invented/);
  expect(shown('Passphrase')).toBe(passphrase);
  for (const { title, question } of Object.values(plans)) {
    expect(title).toContain('invented');
    expect(question).toContain('invented');
  }
});

test('every study is on the home page, and every link of its tour opens', async () => {
  const { page } = await visitor.open('/');
  for (const { title } of Object.values(plans)) expect(page.text('main')).toContain(title);
  expect(page.text('main')).toContain('invented');
  const links = page.all('main a[href]').map((one) => one.getAttribute('href') ?? '');
  expect(links.length).toBeGreaterThan(8);
  for (const link of links) expect([link, (await visitor.open(link)).status]).toEqual([link, 200]);
});

test('first impressions: opposite tastes on the wide vent, audience by audience; analyse says the same to the byte', async () => {
  const study = await studyCalled(plans['first-impressions'].title);
  writeFileSync(record, await visitor.download(study, 'record.json'));
  recordSchema.parse(JSON.parse(readFileSync(record, 'utf8')));
  const text = await visitor.download(study, 'findings.json');
  const analysed = await run('analyse', record);
  expect(analysed).toMatchObject({ code: 0, stderr: '' });
  expect(analysed.stdout).toBe(text);
  const { results, interaction, pooled, priceSteps, exploratory, flow, habituation } = JSON.parse(text) as Findings;
  expect(results.map(({ audienceName, verdict }) => [audienceName, verdict])).toEqual([
    ['Stage', 'difference-shown'],
    ['Home', 'difference-shown'],
  ]);
  const [stage, home] = results.map(({ estimate }) => Math.sign(estimate?.value ?? 0));
  expect(stage).toBe(-(home ?? 0));
  expect(interaction?.p).toBeLessThan(0.05);
  expect(pooled).toMatchObject({ allowed: false });
  // What costs most is liked best at home alone.
  const gains = priceSteps?.map(({ steps }) => Math.sign(steps.at(-1)?.gain?.value ?? 0));
  expect(gains).toEqual([-1, 1]);
  expect(exploratory.measured?.responses?.prototypes).toHaveLength(3);
  expect(flow.listeners.joined).toBe(10);
  expect(flow.sittings.postponed).toBe(1);
  expect(flow.trials.late).toBeGreaterThan(0);
  expect(habituation?.length).toBeGreaterThan(0);
  const verdict = await visitor.open(`${study}/review`);
  expect(verdict.page.find('form[action$="/review/sign"]')).not.toBeNull();
});

test('the profile of five has a map of likings, and what was measured beside what was heard', async () => {
  const text = await visitor.download(await studyCalled(plans.profile.title), 'findings.json');
  const { results, exploratory } = JSON.parse(text) as Findings;
  expect(results.map(({ verdict }) => verdict)).toEqual(['difference-shown']);
  expect(exploratory.measured?.responses?.prototypes).toHaveLength(5);
  expect(exploratory.measured?.maps?.map(({ liking }) => liking?.listeners.length)).toEqual([profilePanel.length]);
});

test('check holds on the records of the demo, signed or not, and a changed byte in any kind of entry is named', async () => {
  const kinds: string[] = [];
  for (const name of ['abx', 'first-impressions'] as const) {
    const text = await visitor.download(await studyCalled(plans[name].title), 'record.json');
    const file = join(folder, `${name}.json`);
    writeFileSync(file, text);
    const whole = await run('check', file);
    expect(whole).toMatchObject({ code: 0, stderr: '' });
    expect(whole.stdout).toMatch(/\nThis record holds\.\n$/);
    kinds.push(...expectChangedBytesNamed(text, kinds, true));
    writeFileSync(file, text.replace('"kind": "answered"', '"kind": "answerrd"'));
    const changed = await run('check', file, '--json');
    const { holds, lines } = JSON.parse(changed.stdout) as Checked;
    expect([changed.code, changed.stderr, holds]).toEqual([1, '', false]);
    const { ledger } = recordSchema.parse(JSON.parse(text));
    const entry = ledger.find(({ kind }) => kind === 'answered')?.seq;
    expect(lines).toContainEqual({ what: 'Chain', holds: false, entry, detail: expect.any(String) });
  }
  expect(kinds.length).toBeGreaterThan(20);
});

test('ABX is signed and heard; the preference waits for its passphrase, and then prefers', async () => {
  const abx = await visitor.open(`${await studyCalled(plans.abx.title)}/review`);
  expect(abx.page.text('main')).toContain('I approve this verdict');
  expect(abx.page.text('.verdict-words')).toBe('The difference is heard');
  // Planned, prepared, run and signed by four people.
  expect(abx.page.all('.who-did dd').map(textOf)).toEqual([
    'Demo lead',
    'Demo preparer',
    'Demo desk',
    'Demo lead',
    'Demo approver',
  ]);
  expect(abx.page.text('main')).toContain('Looks at the key: all as planned');
  expect(abx.page.text('.letter-head')).not.toContain('Not independent');
  const preference = await studyCalled(plans.preference.title);
  const unsealed = await visitor.unseal(preference, shown('Passphrase'));
  expect(unsealed.status).toBe(200);
  const { results, flow, incidents } = JSON.parse(await visitor.download(preference, 'findings.json')) as Findings;
  expect(results.map(({ verdict, sentence }) => [verdict, sentence])).toEqual([
    ['preferred', expect.stringContaining('Fink 3 soft damper is preferred to Fink 3 as sold')],
  ]);
  expect(flow.voidReasons).toEqual({ 'wrong-sample': 1 });
  expect(flow.listeners).toMatchObject({ joined: 10, finished: 9 });
  expect(incidents).toEqual([]);
});

test('nothing of the sessions under way tells what a sample is', async () => {
  const open = [plans.running, plans.asking, plans.renders];
  const secrets = open.flatMap(({ prototypes }) =>
    prototypes.flatMap(({ name, units }) => [name, ...units.map(({ serial }) => serial)]),
  );
  expect(secrets).toHaveLength(2 * (1 + 8) + 2 * 2 + 2);
  const { page } = await visitor.open('/');
  const phones = page.all('.tour-stops a').map((one) => one.getAttribute('href') ?? '');
  const pages = phones.filter((url) => /^\/(me|j)\//.test(url));
  expect(pages).toHaveLength(6);
  for (const { title } of open) {
    const study = await studyCalled(title);
    pages.push(`${study}/run`, `${study}/run/part`, `${study}/run/panel`, `${study}/review`, `${study}/prepare`);
  }
  for (const url of pages) {
    const { body } = await visitor.open(url);
    expect([url, secrets.filter((secret) => body.includes(secret))]).toEqual([url, []]);
  }
});

test('the page that plays by itself checks the sound, fetches a file for each card, and takes an answer', async () => {
  const { page } = await visitor.open('/');
  const stop = page.all('.tour-stops a').find((one) => textOf(one).includes('plays by itself'));
  const phone = new PhoneBrowser(visitor.origin, { name: 'visitor' });
  // The browser in which the links of the tour were opened goes on.
  for (const cookie of (visitor.cookies.header() ?? '').split('; ')) {
    const [name = '', value = ''] = cookie.split('=');
    if (name !== 'fh_staff') phone.cookies.set(name, value);
  }
  await phone.open(stop?.getAttribute('href') ?? '');
  await phone.checkSound();
  const { place } = phone;
  expect(place?.kind).toBe('comparing');
  expect(place?.cards).toHaveLength(3);
  const sounds = await phone.fetchSounds(place as PlaceSeen);
  // Ten seconds of 24 bits in two channels, and 44 bytes before them.
  expect(sounds.map(({ wav }) => wav.length)).toEqual(Array(3).fill(44 + 10 * 48_000 * 6));
  const answer = phone.whole({ kind: 'answer', answer: place?.answers[0] ?? '', ...reportOf(place as PlaceSeen) });
  expect(await phone.postAct(answer)).toMatchObject({ status: 200, reply: { ok: true } });
});

test.each([
  ['a folder that has data', () => ['--data', data], 'data-in-use', '--data'],
  [
    'a record in a folder that is not there',
    () => ['--record', join(folder, 'no', 'record.json')],
    'unwritable',
    '--record',
  ],
  ['a record where a folder is', () => ['--record', folder], 'unwritable', '--record'],
  ['a port that is none', () => ['--port', 'http'], 'out-of-range', '--port'],
  ['an argument', () => ['now'], 'unexpected-argument', ''],
  ['a study that it has not', () => ['--record', record, '--study', 'abz'], 'not-a-choice', '--study'],
  ['a study of which no record is wanted', () => ['--study', 'abx'], 'missing-option', '--study'],
])('refuses %s before it plays anything', async (_what, words, code, path) => {
  const before = existsSync(record) ? readFileSync(record, 'utf8') : '';
  const refused = await run('demo', ...words());
  expect(refused).toMatchObject({ code: 2, stdout: '' });
  expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
  expect(existsSync(record) ? readFileSync(record, 'utf8') : '').toBe(before);
});
