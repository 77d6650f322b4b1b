import type { ServerResponse } from 'node:http';
import { afterAll, expect, test } from 'vitest';
import type { Arrival, Browser } from '../../server/demo/browser';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { Plan } from '../../shared/plan';
import { ada, bo, copyOf, dump, openHouse, passphrase, removeFolders } from '../support/driver';
import { stepAt } from '../support/phone-steps';
import { comparable, differing } from './normal-traffic';
import { withOthers } from './other-prototypes';
import { withSounds } from './other-sounds';
import { plant } from './plant';

/**
 * The strongest thing to be said of blindness before unsealing: the same study is played twice by the same draw, with
 * other prototypes. Names, serials, notes and ids are others, of other lengths, and in another order by the alphabet.
 * To the last byte phones, desk, review and log get the same: no name, no size, no order, no header and no refusal
 * hangs on what the samples are.
 */

afterAll(removeFolders);

const alone = { title: 'Twice', audiences: [{ name: 'Listeners', listeners: 1 }] };
/** With one unit of each, one of two waits for what the other has. */
const two = { ...alone, audiences: [{ name: 'Listeners', listeners: 2 }] };
/** One unit each: which of several a listener hears is drawn for each by its id, and so would be others. */
const prototypes = [
  { name: 'Aspen', units: [{ serial: 'A1', note: 'first' }] },
  { name: 'Birch', units: [{ serial: 'B1' }] },
  { name: 'Cedar', units: [{ serial: 'C1' }] },
];
const jobs: Record<string, PlanInMind> = {
  preference: {
    ...two,
    question: 'Which one do they prefer?',
    prototypes: prototypes.slice(0, 2),
    turns: 1,
    handling: 'two-person',
  },
  'ABX, day codes': {
    ...alone,
    question: 'Can anyone hear it?',
    method: 'abx',
    prototypes: prototypes.slice(0, 2),
    trials: 2,
    closingQuestion: ['the one we sell', 'a new one'],
    handling: 'day-code',
  },
  'triangle, day codes': {
    ...alone,
    question: 'Can anyone hear it?',
    method: 'triangle',
    prototypes: prototypes.slice(0, 2),
    trials: 1,
    handling: 'day-code',
  },
  'triangle of renders': {
    ...alone,
    question: 'Can anyone hear it?',
    method: 'triangle',
    prototypes: prototypes.slice(0, 2).map(({ name }) => ({ name, units: [] })),
    trials: 3,
    handling: 'server',
    playback: 'renders',
    excerpts: ['A song'],
  },
  'first impressions': {
    ...alone,
    question: 'How do they strike a listener?',
    method: 'first-impressions',
    prototypes,
    scales: ['liking'],
    hiddenRepeats: 0,
    sessions: 1,
    handling: 'two-person',
  },
  'ABX of renders': {
    ...alone,
    question: 'Can anyone hear it?',
    method: 'abx',
    prototypes: prototypes.slice(0, 2).map(({ name }) => ({ name, units: [] })),
    trials: 3,
    handling: 'server',
    playback: 'renders',
    excerpts: ['A song'],
  },
  'first impressions of renders': {
    ...alone,
    question: 'How do they strike a listener?',
    method: 'first-impressions',
    prototypes: prototypes.slice(0, 2).map(({ name }) => ({ name, units: [] })),
    scales: ['liking'],
    hiddenRepeats: 1,
    sessions: 1,
    windowSeconds: 5,
    handling: 'server',
    playback: 'renders',
    excerpts: ['A song', 'A voice'],
  },
  // The reference and its anchor are other ones, too: neither is told by its address, its size or its place.
  'a hidden reference and its anchor': {
    ...alone,
    question: 'How far are they from it?',
    method: 'reference-and-anchors',
    prototypes: prototypes.slice(0, 2).map(({ name }) => ({ name, units: [] })),
    openReference: 'Aspen',
    anchors: [3500],
    trials: 3,
    handling: 'server',
    playback: 'renders',
    excerpts: ['A song'],
  },
  'several stimuli': {
    ...alone,
    question: 'How good are they?',
    method: 'several-stimuli',
    prototypes: prototypes.slice(0, 2),
    handling: 'two-person',
  },
  'units in hand, and the page plays': {
    ...two,
    question: 'Which one do they prefer?',
    prototypes: prototypes.slice(0, 2),
    turns: 1,
    handling: 'two-person',
    playback: 'seat-player',
    excerpts: ['A song'],
  },
};

const operator = { name: 'Op', password: 'a password of one’s own' };

/** Locked by Ada; Bo prepares, Op runs. Nothing is drawn yet. */
async function planned(plan: PlanInMind) {
  const house = await openHouse();
  const planner = house.desk(ada.name);
  await planner.makeFirstAccount(house.firstCode, ada);
  const study = await planner.plan(plan);
  await planner.lock(study, passphrase);
  const browsers = [planner];
  for (const account of [bo, operator]) {
    const browser = house.desk(account.name);
    await browser.acceptInvitation(await planner.invite(), account);
    browsers.push(browser);
  }
  await house.close();
  const cookies = Object.fromEntries(
    browsers.map(({ name, cookies }) => [
      name,
      ['fh_visit', 'fh_staff'].map((one): [string, string] => [one, cookies.get(one) ?? '']),
    ]),
  );
  return { folder: house.folder, study, cookies };
}
type Planned = Awaited<ReturnType<typeof planned>>;

/** Makes a page say more, knowing what is compared. */
type Leak = (
  body: string,
  about: { what: string; response: ServerResponse; first: Plan['prototypes'][number] },
) => string;

/** Plays a whole study, one step after the other so that both plays are alike, and tries what is not for anybody. */
async function play({ study, cookies }: Planned, folder: string, leak?: Leak) {
  const traffic: Arrival[] = [];
  const house = await openHouse(folder, {
    publicUrl: 'http://panel.example',
    watch: (arrival) => void (arrival.to !== 'Bo' && traffic.push(arrival)),
  });
  const plan = JSON.parse((dump(folder).study as { plan: string }[])[0]?.plan ?? '') as Plan;
  const dumped = (table: string) => dump(folder)[table] as Record<string, unknown>[];
  const signedIn = (name: string): DeskBrowser => {
    const browser = house.desk(name);
    for (const [cookie, value] of cookies[name] ?? []) browser.cookies.set(cookie, value);
    return browser;
  };
  const [desk, preparer, planner] = [signedIn('Op'), signedIn('Bo'), signedIn('Ada')];
  if (plan.handling !== 'server') await preparer.openSheet(study, passphrase);
  const [first] = plan.prototypes;
  if (leak && first) {
    plant(house, (body, response) => {
      const { method, originalUrl } = response.req as unknown as { method: string; originalUrl?: string };
      return leak(body, { what: `${method} ${originalUrl ?? response.req.url}`, response, first });
    });
  }

  // With renders these lead to the page of their files, which names what is compared and knows no codes.
  const before = plan.handling === 'server' ? [] : ['', 'prepare'];
  for (const page of [...before, 'team', 'run', 'review']) await desk.open(`${study}/${page}`);
  const { joinCode } = await desk.openSession(study);
  const listeners = ['Cleo', 'Dov'].slice(0, plan.audiences[0]?.listeners);
  const phones: PhoneBrowser[] = [];
  for (const alias of listeners) {
    house.wait(0.01);
    const phone = house.phone(alias);
    phones.push(phone);
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
  }
  let steps = 0;
  const met = new Set<string>();
  for (let busy = true; busy && steps < 200; ) {
    busy = false;
    house.wait(0.01);
    steps++;
    const seen = await desk.look(study);
    const form = seen.arrivals.find(({ seat }) => seat)?.seat ?? seen.hands.find((hand) => hand.form)?.form;
    if (form) {
      // A hand-over of something else is refused, in words with codes.
      if (form.fields.give && steps < 5) await desk.tryAct(form, { give: form.fields.give === '417' ? '502' : '417' });
      await desk.tryAct(form);
      busy = true;
    }
    if (steps === 6) {
      await desk.press(study, '#incident-form', { category: 'noise', text: 'A door' });
      const touched = (await desk.look(study)).seats.find((seat) => seat.void);
      if (touched?.void) await desk.tryAct(touched.void, { reason: 'wrong-sample' });
      busy = true;
    }
    for (const phone of phones) {
      const place = await phone.where();
      if (!met.has(`${phone.name} ${place?.kind}`)) {
        await phone.reload();
        await phone.postAct(phone.whole({ kind: 'heard', presentation: 9 }));
      }
      met.add(`${phone.name} ${place?.kind}`);
      if (place?.player) await pry(phone, [phone, desk], place.player.manifest);
      await stepAt(phone, place);
      busy ||= `${phone.place?.version}` !== `${place?.version}`;
    }
  }
  expect(new Set(phones.map(({ place }) => place?.kind))).toEqual(new Set(['finished']));
  expect(met.has('Cleo guessing')).toBe(plan.closingQuestion !== undefined);

  const [code = ''] = dumped('trial').flatMap(({ codes }) => JSON.parse(String(codes)) as string[]);
  await desk.open(`${study}/run/panel`);
  await desk.closeSession(study);
  for (const phone of phones) await phone.reload();
  // An answer that comes too late is kept apart.
  const [lost] = phones;
  await planner.close(study);
  await lost?.postAct(lost.whole({ kind: 'answer', answer: code }, String(dumped('trial').at(-1)?.id)));
  await planner.send((await planner.open(`${study}/review/data`)).page.form('main'));
  expect((await planner.open(`${study}/review/data?open=1`)).page.all('tbody tr').length).toBeGreaterThan(0);
  for (const page of ['prepare', 'reveal', 'run', 'review', 'review/data', 'team']) {
    await desk.request('GET', `${study}/${page}`);
  }
  for (const page of ['run', 'review', 'review/data', 'team']) await planner.request('GET', `${study}/${page}`);
  for (const file of [
    'report.html',
    'answers.csv',
    'dictionary.csv',
    'record.json',
    'findings.json',
    'findings.html',
  ]) {
    for (const accept of ['page', 'json'] as const) {
      await planner.request('GET', `${study}/review/${file}`, { accept });
    }
  }
  expect((await planner.unseal(study, 'not that one')).status).toBe(403);
  desk.hangUp();
  for (const phone of phones) phone.hangUp();
  const log = house.log.join('');
  await house.close();
  const sounds = traffic.filter(({ headers }) => isSound.test(headers)).map(({ body }) => body.slice(44));
  return { traffic: comparable(traffic, log), count: traffic.length, steps, sounds: new Set(sounds) };
}

const isSound = /^content-type: audio/m;

/** Asks for what plays in every way that a browser has, by whoever may have it and by whoever may not. */
async function pry(phone: PhoneBrowser, browsers: readonly Browser[], manifest: string): Promise<void> {
  const [first] = /\/listen\/sound\/[\w-]{43}/.exec((await phone.request('GET', manifest)).body) ?? [];
  if (first === undefined) return;
  for (const browser of browsers) {
    await browser.request('GET', manifest.replace(/\d+$/, '2'), { accept: 'json' });
    await browser.request('POST', first);
    for (const headers of [{ range: 'bytes=0-43' }, { 'if-none-match': '*' }, { 'accept-encoding': 'identity' }]) {
      await browser.request('GET', manifest, { accept: 'json', headers });
      await browser.file(first, headers);
    }
    await browser.file(`${first.slice(0, -1)}-`);
  }
}

const ready = new Map<string, Promise<Planned>>();
function job(name: string): Promise<Planned> {
  const before = ready.get(name) ?? planned(jobs[name] as PlanInMind);
  ready.set(name, before);
  return before;
}

/** With sounds of its own, where the page plays. */
const heard = async (name: string, { study, cookies }: Planned, folder: string, set: 0 | 1): Promise<string> =>
  jobs[name]?.excerpts
    ? withSounds(folder, study, cookies[ada.name] ?? [], set, jobs[name]?.windowSeconds ?? 1)
    : folder;

/** Played without a tell. */
const clean = new Map<string, Awaited<ReturnType<typeof play>>>();

test.each(Object.keys(jobs))('%s: the same bytes, whatever is compared', async (name) => {
  const made = await job(name);
  const one = await play(made, await heard(name, made, copyOf(made.folder), 0));
  const other = await play(made, await heard(name, made, withOthers(made.folder), 1));
  clean.set(name, one);
  expect(one.count).toBeGreaterThan(100);
  expect(one.steps).toBeGreaterThan(6);
  expect(differing(one.traffic, other.traffic)).toEqual([]);
  // It was other music that played, or nothing.
  expect(one.sounds.size).toBe(other.sounds.size);
  expect(one.sounds.size > 1).toBe(jobs[name]?.excerpts !== undefined);
  expect([...one.sounds].filter((samples) => other.sounds.has(samples))).toEqual([]);
});

/** Each on a page of its own, so that one play shows them all. */
type Tells = Record<string, { at: RegExp; leak: Leak }>;

/** Plays once more with other prototypes and all of these tells. Answers with those that nobody noticed. */
async function unnoticed(name: string, tells: Tells): Promise<string[]> {
  const made = await job(name);
  const one = clean.get(name) ?? (await play(made, await heard(name, made, copyOf(made.folder), 0)));
  const leak: Leak = (body, about) =>
    Object.values(tells).reduce((now, tell) => (tell.at.test(about.what) ? tell.leak(now, about) : now), body);
  const other = await play(made, await heard(name, made, withOthers(made.folder), 1), leak);
  const found = differing(one.traffic, other.traffic);
  return Object.keys(tells).filter((what) => !found.some((difference) => tells[what]?.at.test(difference)));
}

test('whatever could tell is found, each where it is', async () => {
  const answersIn = (body: string) => [...body.matchAll(/name="answer" value="(\d{3})"/g)].map(([, code = '']) => code);
  const tells: Tells = {
    'by size': {
      at: /GET \S+\/run\/panel\b/,
      leak: (body, { first }) => body.replace('</main>', `${' '.repeat(first.name.length)}</main>`),
    },
    'by the order of a list': {
      at: /GET \S+\/team\b/,
      leak: (body, { first }) =>
        first.name < 'M' ? body : body.replace(/(<li>[\s\S]*?<\/li>)\s*(<li>[\s\S]*?<\/li>)/, '$2$1'),
    },
    'by how long it took': {
      at: /GET \S+\/review\/data\b/,
      leak: (body, { first, response }) => {
        response.setHeader('server-timing', `look;dur=${first.units[0]?.serial.length}`);
        return body;
      },
    },
    'by a header that is there or not': {
      at: /GET \S+\/prepare\b/,
      leak: (body, { first, response }) => {
        if (first.name > 'M') response.setHeader('x-first', '1');
        return body;
      },
    },
    'in a refusal': {
      at: /GET \S+\/record\.json\b/,
      leak: (body, { first }) => (first.name < 'M' ? body : body.replace('study', 'Study')),
    },
    'by the order of answers': {
      at: /GET \/listen\b/,
      leak: (body, { first }) => {
        const [a = '', b = ''] = answersIn(body);
        if (first.name < 'M') return body;
        return body.replace(/(?<=name="answer" value=")\d{3}/g, (code) => (code === a ? b : code === b ? a : code));
      },
    },
  };
  expect(await unnoticed('preference', tells)).toEqual([]);
});

test('so is what could tell of sounds', async () => {
  const later = ({ name }: { name: string }) => name > 'M';
  const tells: Tells = {
    'by a header that comes with a sound': {
      at: /GET \/listen\/sound\/\S+(?: 200|$)/,
      leak: (body, { first, response }) => {
        if (later(first) && response.statusCode === 200) response.setHeader('content-disposition', 'inline');
        return body;
      },
    },
    'by the order in which sounds are named': {
      at: /GET \/listen\/sounds\?\S+=1(?: 200|$)/,
      leak: (body, { first }) =>
        later(first) ? body.replace(/(\{"presentation":1[^}]*\}),(\{"presentation":2[^}]*\})/, '$2,$1') : body,
    },
    'in a refusal': {
      at: /GET \/listen\/sound\/\S+(?: 404|$)/,
      leak: (body, { first }) => (later(first) ? body.replace('nothing', 'Nothing') : body),
    },
  };
  expect(await unnoticed('ABX of renders', tells)).toEqual([]);
});
