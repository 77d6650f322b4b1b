import { randomBytes } from 'node:crypto';
import type { ServerResponse } from 'node:http';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { Bench } from '../../server/demo/bench';
import type { Arrival } from '../../server/demo/browser';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { serveSession } from '../../server/demo/operator';
import { textOf } from '../../server/demo/page';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { ada, bo, copyOf, dump, type House, openHouse, passphrase, removeFolders } from '../support/driver';
import { stepAt } from '../support/phone-steps';
import { aboutSamples, distinguishable, leaks } from './leaks';
import { plant } from './plant';

/**
 * Reads every byte that reaches phones, the desk and the review over a whole study, and the log: no name, serial or id
 * of a sample, and no difference between two samples but the code.
 */

afterAll(removeFolders);

const canary = () => `canary${randomBytes(12).toString('hex')}`;
const prototypes = [1, 2, 1].map((units, i) => ({
  name: canary(),
  price: { rank: i + 1, words: canary() },
  units: Array.from({ length: units }, () => ({ serial: canary(), note: canary() })),
}));
const said = canary();
const common = { title: 'Canaries', product: canary(), audiences: [{ name: 'Listeners', listeners: 2 }] };
const preference: PlanInMind = {
  ...common,
  question: 'Which one do they prefer?',
  prototypes,
  turns: 3,
  closingQuestion: ['the one we sell', 'an older one', 'a new one'],
  handling: 'two-person',
};
const abx: PlanInMind = {
  ...common,
  question: 'Can anyone hear it?',
  method: 'abx',
  prototypes: prototypes.slice(0, 2),
  trials: 3,
  closingQuestion: ['the one we sell', 'a new one'],
  handling: 'two-person',
};
const impressions: PlanInMind = {
  ...common,
  question: 'How do they strike a listener?',
  method: 'first-impressions',
  prototypes,
  scales: ['liking', 'bass'],
  hiddenRepeats: 2,
  sessions: 1,
  handling: 'two-person',
};
const triangle: PlanInMind = {
  ...common,
  question: 'Can anyone hear it?',
  method: 'triangle',
  prototypes: prototypes.slice(0, 2),
  trials: 3,
  handling: 'two-person',
};
const several: PlanInMind = {
  ...common,
  question: 'How good are they?',
  method: 'several-stimuli',
  prototypes,
  // So long that nobody is at the end yet when a mix-up is noted.
  trials: 3,
  closingQuestion: ['the one we sell', 'an older one', 'a new one'],
  handling: 'two-person',
};
const byDay = (plan: PlanInMind): PlanInMind => ({ ...plan, handling: 'day-code' });
/** Each way of asking, each way of handling; with how many samples, and in how many kinds of message about them. */
const jobs = {
  preference: { plan: preference, samples: 3, groups: 8 },
  'preference, day codes': { plan: byDay(preference), samples: 3, groups: 8 },
  ABX: { plan: abx, samples: 2, groups: 12 },
  'ABX, day codes': { plan: byDay(abx), samples: 2, groups: 12 },
  // With day codes a phone shows no code at all.
  'triangle, day codes': { plan: byDay(triangle), samples: 0, groups: 12 },
  'first impressions': { plan: impressions, samples: 3, groups: 8 },
  'several stimuli': { plan: several, samples: 3, groups: 12 },
  'first impressions, day codes': { plan: byDay({ ...impressions, hiddenRepeats: 0 }), samples: 3, groups: 8 },
} as const;
type Job = keyof typeof jobs;

/** Names and serials as they were typed, ids as the server made them, and the seed behind the draw is not known to anyone. */
function secretsOf(folder: string, job: Job): string[] {
  const [study] = dump(folder).study as { plan: string }[];
  const plan = JSON.parse(study?.plan ?? '{}') as { prototypes: { id: string; units: { id: string }[] }[] };
  const ids = plan.prototypes.flatMap(({ id, units }) => [id, ...units.map((unit) => unit.id)]);
  const typed = jobs[job].plan.prototypes.flatMap(({ name, price, units }) => [
    name,
    price?.words ?? '',
    ...units.flatMap(({ serial, note = '' }) => [serial, note]),
  ]);
  expect(ids).toHaveLength(jobs[job].plan.prototypes.length === 2 ? 5 : 7);
  return [...typed, common.product, ...ids];
}

const watched = ['Op', 'Cleo', 'Dov'];
const operator = { name: 'Op', password: 'a password of one’s own' };

interface Started {
  house: House;
  study: string;
  desk: DeskBrowser;
  bench: Bench;
  phones: PhoneBrowser[];
  load: () => Promise<never[]>;
}

/** Planned by Ada; Bo will prepare and Op will run it. Made once for each job. */
async function planned(job: Job) {
  const house = await openHouse();
  const planner = house.desk(ada.name);
  await planner.makeFirstAccount(house.firstCode, ada);
  const study = await planner.plan(jobs[job].plan);
  await planner.lock(study, passphrase);
  const cookies: Record<string, [string, string][]> = {};
  for (const account of [bo, operator]) {
    const browser = house.staff(account.name);
    await browser.acceptInvitation(await planner.invite(), account);
    cookies[account.name] = ['fh_visit', 'fh_staff'].map((name) => [name, browser.cookies.get(name) ?? '']);
  }
  await house.close();
  return { folder: house.folder, study, cookies };
}
const ready = new Map<Job, ReturnType<typeof planned>>();

/** Prepared by Bo, run by Op, with two listeners at the door. Only Op and the phones are watched. */
async function start(job: Job, traffic: Arrival[]): Promise<Started> {
  if (!ready.has(job)) ready.set(job, planned(job));
  const { folder, study, cookies } = (await ready.get(job)) as Awaited<ReturnType<typeof planned>>;
  const house = await openHouse(copyOf(folder), {
    // What planner and preparer see is theirs to see.
    watch: (arrival) => void (watched.includes(arrival.to) && traffic.push(arrival)),
  });
  const preparer = house.staff(bo.name);
  const desk = house.desk(operator.name);
  for (const browser of [preparer, desk]) {
    for (const [name, value] of cookies[browser.name] ?? []) browser.cookies.set(name, value);
  }
  const bench = new Bench();
  bench.load(await preparer.openSheet(study, passphrase));

  await desk.open('/');
  await desk.open(`${study}/prepare`);
  const { joinCode } = await desk.openSession(study);
  const phones = [];
  for (const alias of ['Cleo', 'Dov']) {
    const phone = house.phone(alias);
    phones.push(phone);
    await phone.open('/help');
    await phone.open('/j');
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.open('/listen/history');
    await phone.consent();
    await phone.connect();
  }
  const load = async () => {
    bench.load(await preparer.readSheet(study, 1));
    return [];
  };
  return {
    house,
    study,
    desk,
    bench,
    phones,
    load,
  };
}

/** Does what the phone says, and loads the page anew at every place. */
async function listen(phone: PhoneBrowser): Promise<void> {
  for (let known = ''; ; ) {
    const place = await phone.until(
      ({ kind, version }) => !['unseated', 'waiting', 'paused'].includes(kind) && `${version}` !== known,
    );
    known = `${place.version}`;
    if (place.kind === 'finished') return;
    await phone.reload();
    const words = [{ code: place.wordsAbout[0] ?? '', text: said }];
    if (place.kind === 'words') await phone.act({ kind: 'words', words });
    else await stepAt(phone, place);
  }
}

async function sit({ desk, study, bench, phones, load }: Started): Promise<void> {
  await desk.connect(study);
  await Promise.all([
    serveSession(
      {
        desk,
        study,
        bench,
        load,
        moments: [
          {
            after: 6,
            async happen() {
              await desk.press(study, '#incident-form', { category: 'talk', text: 'Somebody named a colour' });
              await desk.press(study, '#pause');
              await desk.press(study, '#resume');
              return true;
            },
          },
          {
            after: 10,
            async happen(at, { seats }) {
              const touched = seats.find(({ progress, void: form }) => form && !progress.startsWith('practice'));
              return touched?.void ? (await at.tryAct(touched.void, { reason: 'wrong-sample' })).status === 200 : false;
            },
          },
        ],
      },
      phones.length,
    ),
    ...phones.map(listen),
  ]);
}

describe.each(Object.keys(jobs) as Job[])('%s', (job) => {
  test('nothing that says which sample is which leaves the server before unsealing', async () => {
    const traffic: Arrival[] = [];
    const started = await start(job, traffic);
    const { house, study, desk, phones } = started;
    const secrets = secretsOf(house.folder, job);
    await sit(started);
    await desk.open(`${study}/run`);
    await desk.open(`${study}/run/panel`);
    await desk.open(`${study}/review`);
    for (const file of ['answers.csv', 'record.json', 'findings.json']) await desk.open(`${study}/review/${file}`);
    for (const page of ['team', 'reveal', 'amend']) await desk.request('GET', `${study}/${page}`);
    await desk.closeSession(study);
    for (const phone of phones) await phone.reload();
    await desk.close(study);
    await desk.open(`${study}/review`);
    const gate = (await desk.open(`${study}/review/data`)).page.form('main');
    // Of an ABX with day codes the desk has seen the answers, and says why nobody else looks.
    await desk.send(gate, 'why' in gate.fields ? { why: 'Nobody else is here' } : {});
    const data = (await desk.open(`${study}/review/data?open=1`)).page;
    const told = data.all('details tbody td').map(textOf);
    expect(told.length).toBeGreaterThan(8);
    // Of the third sample of an ABX with day codes not even the code is there: it is its twin's.
    expect(told.some((cell) => cell.includes('third'))).toBe(job === 'ABX, day codes');
    await desk.send(data.form('details[open] form'), { reason: 'A door slammed' });
    await desk.open(`${study}/review/data`);
    expect((await desk.unseal(study, 'not that one')).status).toBe(403);
    desk.hangUp();
    for (const phone of phones) phone.hangUp();

    expect(traffic.length).toBeGreaterThan(150);
    expect(new Set(traffic.map(({ to }) => to))).toEqual(new Set(watched));
    expect(traffic.filter(({ of }) => of === 'socket').length).toBeGreaterThan(50);
    expect(leaks(traffic, secrets)).toEqual([]);
    expect(leaks([inLog(house.log)], secrets)).toEqual([]);
    // Nor what was said of them.
    expect(leaks(traffic.filter(({ to }) => to === 'Op').concat(inLog(house.log)), [said])).toEqual([]);

    const about = aboutSamples(traffic);
    expect(new Set(about.map(({ group }) => group)).size).toBeGreaterThanOrEqual(jobs[job].groups);
    const samples = new Set(about.flatMap(({ code }) => (code === null ? [] : [started.bench.inside(code).prototype])));
    expect(samples.size).toBe(jobs[job].samples);
    expect(distinguishable(traffic)).toEqual([]);
    const asked = about.filter(({ group }) => / guessing /.test(group)).map(({ to }) => to);
    expect(new Set(asked).size).toBe(jobs[job].plan.closingQuestion ? 2 : 0);
    // No listener meets one code in two trials of first impressions, where some are hidden repeats of others.
    if (job === 'first impressions') {
      const met = new Map<string, Set<string>>();
      for (const { to, code, trial } of about) {
        const key = `${to} ${code}`;
        if (code !== null && trial !== '') met.set(key, (met.get(key) ?? new Set()).add(trial));
      }
      expect([...met].filter(([, trials]) => trials.size > 1)).toEqual([]);
    }
    // With day codes the third sample of an ABX bears its twin's: no phone may show it, nor be sent it.
    const third = about.filter(({ group }) => /(?:fitting|listening) 3 |third sample/.test(group));
    const asksOfThree = job.startsWith('ABX') || job.startsWith('triangle');
    if (asksOfThree) expect(third.length).toBeGreaterThan(0);
    if (asksOfThree) expect(third.filter(({ code }) => (code === null) !== job.endsWith('day codes'))).toEqual([]);

    // The canaries are alive: once unsealed, the very same reader finds them.
    traffic.splice(0);
    expect((await desk.unseal(study, passphrase)).status).toBe(200);
    expect(leaks(traffic, secrets.slice(0, 1))).not.toEqual([]);
    await desk.download(study, 'record.json');
    for (const secret of secrets) expect(leaks(traffic, [secret])).not.toEqual([]);
    await house.close();
  });
});

const inLog = (lines: readonly string[]): Arrival => ({
  to: 'log',
  of: 'log',
  status: null,
  headers: '',
  body: lines.join(''),
});

describe('a planted leak is found', () => {
  const planted: [what: string, change: (secret: string, body: string, response: ServerResponse) => string][] = [
    ['in a page', (secret, body) => body.replace('</main>', `<p hidden>${secret}</p></main>`)],
    [
      'in a header',
      (secret, body, response) => {
        response.setHeader('x-sample', secret);
        return body;
      },
    ],
    [
      'in a cookie',
      (secret, body, response) => {
        response.setHeader('set-cookie', `last=${encodeURIComponent(secret)}`);
        return body;
      },
    ],
    [
      'in what a page says to scripts',
      (secret, body) => body.replace('</main>', `<i data-from="${secret}"></i></main>`),
    ],
    [
      'in a refusal',
      (secret, body, response) =>
        response.statusCode < 400 ? body : body.replace('"path":', `"from":"${secret}","path":`),
    ],
    ['in base64', (secret, body) => body.replace('</main>', `${Buffer.from(` ${secret} `).toString('base64')}</main>`)],
  ];
  let started: Started;
  let secrets: string[];
  let tell: (body: string, response: ServerResponse) => string = (body) => body;
  const traffic: Arrival[] = [];
  beforeAll(async () => {
    started = await start('preference, day codes', traffic);
    secrets = secretsOf(started.house.folder, 'preference, day codes');
    plant(started.house, (body, response) => tell(body, response));
  });
  afterAll(async () => {
    for (const phone of started.phones) phone.hangUp();
    await started.house.close();
  });

  test.each(planted)('%s', async (_what, change) => {
    const { desk, study, phones } = started;
    expect(leaks(traffic, secrets)).toEqual([]);
    tell = (body, response) => change(secrets.at(-1) ?? '', body, response);
    await desk.open(`${study}/run`);
    await desk.request('GET', `${study}/review/record.json`, { accept: 'json' });
    await phones[0]?.reload();
    await phones[0]?.postAct({});
    expect(new Set(leaks(traffic, secrets).map((leak) => leak.split(':')[0]))).toEqual(new Set(['Op', 'Cleo']));
    tell = (body) => body;
    traffic.splice(0);
  });

  test('in what travels by socket, and in the log', async () => {
    const { house, desk, study, phones } = started;
    const [name = '', other = ''] = prototypes.map((prototype) => prototype.name);
    const stored = (statement: string, value: string) => {
      const database = new Database(join(house.folder, 'fair-hearing.sqlite'));
      database.prepare(statement).run(value);
      database.close();
    };
    expect(leaks(traffic, secrets)).toEqual([]);
    // Free words, which a phone shows to whoever chose them.
    stored('UPDATE listener SET alias = ?', name);
    await phones[0]?.where();
    expect(leaks(traffic, secrets)).toContain(`Cleo: socket: ${name}`);
    traffic.splice(0);
    stored('UPDATE listener SET alias = ?', 'Cleo');

    // A code that carries a name fits no schema: it reaches neither phone nor desk, and the log says only where it was.
    for (const { seat } of (await desk.look(study)).arrivals) if (seat) await desk.act(seat);
    await phones[0]?.where();
    stored('UPDATE trial SET codes = ?', JSON.stringify([name, '417']));
    const shown = phones[0]?.place?.html;
    expect((await phones[0]?.request('GET', '/listen'))?.status).toBe(500);
    expect((await desk.request('GET', `${study}/run/part`)).status).toBe(500);
    expect((await phones[0]?.where())?.html).toBe(shown);
    expect(leaks(traffic, secrets)).toEqual([]);
    expect(house.log.join('')).toContain('"misfit":{"what":"listen/parts/place","fields":["code"]}');
    expect(house.log.join('')).toContain('"what":"run/parts/desk"');
    expect(leaks([inLog(house.log)], secrets)).toEqual([]);
    expect(leaks([inLog([`{"msg":"gave ${other}"}`])], secrets)).toHaveLength(1);
  });

  type Change = (body: string, response: ServerResponse) => string;
  /** One while a sample is fitted and one while it is heard, so that a play shows both. */
  const tells: Record<string, Record<'fitting' | 'listening', Change>> = {
    'by a blank, and by the order of attributes': {
      fitting: (body) => body.replace('</section>', ' </section>'),
      listening: (body) => body.replace('id="place-heading" tabindex="-1"', 'tabindex="-1" id="place-heading"'),
    },
    'by a header, and by keeping it in the cache': {
      fitting: (body, response) => {
        response.setHeader('x-time', '17');
        return body;
      },
      listening: (body, response) => {
        response.setHeader('cache-control', 'max-age=60');
        return body;
      },
    },
  };
  test.each(Object.entries(tells))('%s, for one prototype and not for the others', async (_what, changes) => {
    const traffic: Arrival[] = [];
    const started = await start('preference', traffic);
    const { house, bench, phones } = started;
    const [odd] = prototypes;
    plant(house, (body, response) => {
      const code = /<h1[^>]*>[^<]*<span class="code">([^<]+)</.exec(body)?.[1]?.replaceAll('\u2009', '');
      const kind = /data-kind="(fitting|listening)"/.exec(body)?.[1] as 'fitting' | 'listening' | undefined;
      if (!code || !kind) return body;
      return bench.has(code) && bench.inside(code).prototype === odd?.name ? changes[kind](body, response) : body;
    });
    await sit(started);
    expect(leaks(traffic, secretsOf(house.folder, 'preference'))).toEqual([]);
    const told = distinguishable(traffic);
    for (const kind of ['fitting', 'listening']) expect(told.join('\n')).toContain(` ${kind} `);
    started.desk.hangUp();
    for (const phone of phones) phone.hangUp();
    await house.close();
  });
});

test('what desk and review receive is the same to the last byte whatever was answered', async () => {
  const started = await start('preference', []);
  const { house, study, desk, phones } = started;
  const [phone, idle] = phones as [PhoneBrowser, PhoneBrowser];
  const until = async (kind: string) => {
    for (;;) {
      const seen = await desk.look(study);
      const todo =
        seen.arrivals.find(({ alias, seat }) => alias === 'Cleo' && seat)?.seat ??
        seen.hands.find(({ form }) => form)?.form;
      if (todo) await desk.act(todo);
      const place = await phone.where();
      const presentation = place?.presentation ?? 0;
      if (place?.kind === kind) return place;
      if (place?.kind === 'fitting') await phone.act({ kind: 'fits', presentation });
      if (place?.kind === 'listening') await phone.act({ kind: 'heard', presentation });
    }
  };
  const place = await until('asking');
  for (const one of [phone, idle]) one.hangUp();
  const act = (answer: string) => ({ ...phone.whole({ kind: 'answer', answer }), id: 'a'.repeat(24) });
  const words = { ...phone.whole({ kind: 'words', words: [] }), id: 'b'.repeat(24) };
  await house.close();

  const after = async (answer: string, text: string) => {
    const traffic: Arrival[] = [];
    const again = await openHouse(copyOf(house.folder), {
      publicUrl: 'http://panel.example',
      watch: (arrival) => void traffic.push(arrival),
    });
    const [op, cleo] = [again.desk('Op'), again.phone('Cleo')];
    for (const name of ['fh_visit', 'fh_staff']) op.cookies.set(name, desk.cookies.get(name) ?? '');
    for (const name of ['fh_visit', 'fh_listener']) cleo.cookies.set(name, phone.cookies.get(name) ?? '');
    await op.connect(study);
    await cleo.connect();
    const about = [{ code: place.answers[0] ?? '', text }];
    const acts = [
      { ...act(answer), times: { sincePlaying: 5, wall: 5 } },
      { ...words, words: about, times: { sincePlaying: 9, wall: 9 } },
    ];
    for (const each of acts) {
      const heard = op.heard;
      expect(await cleo.emit(each)).toMatchObject({ ok: true });
      await op.change(heard);
      for (const page of ['run', 'run/part', 'review']) await op.open(`${study}/${page}`);
    }
    op.hangUp();
    cleo.hangUp();
    await again.close();
    // The opening of a connection has an id of its own, and the server says the time.
    const own = ({ of, headers, body }: Arrival) =>
      of === 'socket' && (headers !== 'message' || body.includes('"sid"'));
    return traffic
      .filter((arrival) => arrival.to === 'Op' && !own(arrival))
      .map(({ of, headers, body }) => `${of}\n${headers.replace(/^date: .*$/m, '')}\n${body}`);
  };
  const [first = '', second = ''] = place.answers;
  const one = await after(first, 'Too bright for me');
  expect(one.length).toBeGreaterThanOrEqual(8);
  expect(await after(second, 'Lovely')).toEqual(one);
  expect(one.join()).not.toContain('Too bright');
});
