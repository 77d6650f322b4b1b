import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Arrival, Browser, type Fields } from '../../server/demo/browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { slugOf } from '../../server/review/products/routes';
import { ada, copyOf, dump, type House, openHouse, passphrase, removeFolders } from '../support/driver';
import { type EveryState, everyState, fits, type State, states, twoUnits } from './every-state';
import { leaks } from './leaks';
import { type Route, routesOf } from './routes-of';

/**
 * Somebody who tries every door there is: the routes are read off the server, so that a new one is tried by itself. With
 * nothing, with a listener's link, and with the account of whoever runs the desk, nothing says before unsealing what a
 * sample is, whatever is asked for.
 */

const canary = (name: string, at: number) => `${name}-canary-of-${at}-that-nobody-says`;
const plan: PlanInMind = {
  ...twoUnits,
  product: 'Tried doors',
  prototypes: twoUnits.prototypes.map(({ units }, at) => ({
    name: canary('name', at),
    price: { rank: at + 1, words: canary('price', at) },
    units: units.map((_, unit) => ({ serial: canary('serial', at * 10 + unit), note: canary('note', at * 10 + unit) })),
  })),
};
const operator = { name: 'Op', password: 'a password of one’s own' };

let every: EveryState;
beforeAll(async () => {
  every = await everyState(plan);
});
afterAll(removeFolders);

/** Names, serials and notes as they were typed, and the ids of prototypes and units. */
function secretsIn(folder: string): string[] {
  const [study] = dump(folder).study as { plan: string }[];
  const said = study?.plan ?? '';
  const typed = [...said.matchAll(/\w+-canary-of-\d+-that-nobody-says/g)].map(([name]) => name);
  const { prototypes = [] } = JSON.parse(said) as { prototypes?: { id?: string; units?: { id?: string }[] }[] };
  const ids = prototypes.flatMap(({ id, units = [] }) => [id, ...units.map((unit) => unit.id)]);
  return [...new Set([...typed, ...ids.filter((id) => id !== undefined)])];
}

/** Pages about the plan itself, which name what is compared, as the team does. They know no codes. */
const aboutThePlan =
  /\/studies\/[^/ ]+\/(?:plan|lock|amend|exposure|follow-up|rehearsal|dry-run|sound|levels|listening-level|answers)\b/;

/** What a form of that name would hold, from somebody who guesses. */
function guesses(step: string): Fields {
  const { cleo, hal, dov, gil, staff } = every.ids;
  const key = { passphrase: 'a guess of somebody’s', session: '1', understood: 'yes' };
  const forms: Record<string, Fields> = {
    ...Object.fromEntries(['open', 'unseal', 'reveal', 'amend'].map((name) => [name, key])),
    reveal: { ...key, code: cleo.code, reason: 'Somebody asks' },
    lock: { passphrase: key.passphrase, passphraseAgain: key.passphrase },
    note: { unit: 'a', left: '94', right: '94', measuredOn: '2026-03-02', device: 'Ears', method: 'Guess' },
    rework: { reworked: 'a', on: '2026-03-02', note: 'Which one?' },
    cut: { excerpt: 'a', from: '0', to: '5' },
    upload: { excerpt: 'a', prototype: 'a' },
    'listening-level': { method: 'coupler', reading: '70' },
    'hand-over': { sitting: hal.sitting, give: cleo.code },
    'take-back': { sitting: cleo.sitting, code: hal.give },
    void: { trial: cleo.trial, reason: 'other', text: 'Which one was it?' },
    seat: { sitting: dov },
    'seat-out': { sitting: gil },
    'seat-again': { sitting: cleo.sitting },
    card: { listener: cleo.listener },
    incident: { category: 'talk', text: 'Which one is it?', seat: '1' },
    give: { staff: staff.ada, role: 'operator' },
    exclude: { what: 'trial', id: cleo.trial, reason: 'Because' },
    sign: { decision: 'sign', meaning: 'approved', reason: 'Because', password: operator.password },
    act: { kind: 'answer', trial: cleo.trial, presentation: '1', answer: hal.give },
    guess: { code: cleo.code, choice: '0', sure: 'certain' },
    'check-in': { conditions: 'none', outside: 'no' },
    consent: { agree: 'yes' },
  };
  return forms[step] ?? {};
}

/** The addresses that a route stands for: with what is there, and with what belongs to something else. */
function addressesOf({ path }: Route): string[] {
  const { cleo, hal } = every.ids;
  const study = every.study.replace('/studies/', '');
  const put = (id: string, rest: string) =>
    path
      .replace(':study', id)
      .replace(':code', every.joinCode)
      .replace(':product', slugOf(plan.product ?? ''))
      .replace(':token', cleo.listener)
      .replace(':listener', cleo.listener)
      .replace(':other', rest);
  const strange = path.includes(':study') ? [put(cleo.sitting, 'record'), put(hal.sitting, 'ledger')] : [];
  return [put(study, 'key'), ...strange.slice(0, 1)];
}
const asked = () => `session=1&open=1&version=1&code=${every.ids.cleo.code}&trial=${every.ids.cleo.trial}`;
/** Where files of a server lie, or might. */
const files = [
  '/fair-hearing.sqlite',
  '/keys',
  '/backup',
  '/client/..%2f..%2ffair-hearing.sqlite',
  '/client/%2e%2e/keys',
  '/studies',
];

interface Attacker {
  browser: Browser;
  csrf: string;
}

async function attackers(house: House, traffic: Arrival[]): Promise<Attacker[]> {
  const watch = (arrival: Arrival) => void traffic.push(arrival);
  const nobody = new Browser(house.origin, { name: 'nobody', watch });
  const listener = new Browser(house.origin, { name: 'listener', watch });
  for (const [cookie, value] of Object.entries(every.cookies.Cleo ?? {})) listener.cookies.set(cookie, value);
  const planner = house.staff(ada.name);
  for (const [cookie, value] of Object.entries(every.cookies.Ada ?? {})) planner.cookies.set(cookie, value);
  const staff = house.staff('operator');
  await staff.acceptInvitation(await planner.invite(), operator);
  const desk = new Browser(house.origin, { name: 'operator', watch });
  for (const cookie of ['fh_visit', 'fh_staff']) desk.cookies.set(cookie, staff.cookies.get(cookie) ?? '');
  const ready = async (browser: Browser): Promise<Attacker> => ({
    browser,
    csrf: (await browser.open('/j')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '',
  });
  return [await ready(nobody), await ready(listener), await ready(desk)];
}

/** Everything that can be read, then everything that can be sent, then all that can be read once more. */
async function tryAll(routes: readonly Route[], { browser, csrf }: Attacker, sends: boolean): Promise<void> {
  const read = async (again: boolean) => {
    for (const route of routes.filter(({ method }) => method === 'GET')) {
      for (const address of addressesOf(route).slice(0, again ? 1 : 2)) await browser.request('GET', address);
      if (again) continue;
      await browser.request('GET', `${addressesOf(route)[0]}?${asked()}`, { accept: 'json' });
    }
  };
  await read(false);
  for (const file of files) await browser.request('GET', file);
  if (!sends) return;
  for (const route of routes.filter(({ method }) => method === 'POST')) {
    const step = route.path.split('/').at(-1) ?? '';
    // Whoever signs out is nobody, and whoever signs in is somebody else.
    if (['sign-out', 'sign-in', 'first'].includes(step)) continue;
    const [address = ''] = addressesOf(route);
    await browser.post(address, { _csrf: csrf, ...guesses(step) });
    await browser.post(address, { _csrf: 'of another visit', ...guesses(step) }, 'json');
  }
  await read(true);
}

/** One of each: most doors are shut, and say so in the same words. */
const distinct = (traffic: readonly Arrival[]): Arrival[] => {
  const found = new Map<string, Arrival>();
  for (const arrival of traffic) {
    const { to, of, headers, body } = arrival;
    const staff = to === 'operator' ? of : '';
    found.set([staff, headers.replace(/^date: .*$/m, ''), body].join('\n'), arrival);
  }
  return [...found.values()];
};

const sealed = states.filter((state) => !['unsealed', 'signed', 'refused'].includes(state));
/** Elsewhere it is only looked, since forms are refused there as the matrix shows. */
const sent: readonly State[] = ['locked', 'running, session open', 'closed'];

describe.each(sealed)('%s', (state) => {
  test('every door of the server, by nobody, by a listener and by whoever runs the desk', async () => {
    const traffic: Arrival[] = [];
    const house = await openHouse(copyOf(every.folders[state]));
    const secrets = secretsIn(house.folder);
    expect(secrets).toHaveLength(18);
    const routes = routesOf(house);
    expect(routes.length).toBeGreaterThan(70);
    for (const attacker of await attackers(house, traffic)) await tryAll(routes, attacker, sent.includes(state));
    const log = house.log.join('');
    await house.close();

    expect(traffic.length).toBeGreaterThan(200);
    expect(traffic.filter(({ status }) => status !== null && status >= 500)).toEqual([]);
    // Each of them was let in somewhere, so that they are who they say.
    const letIn = (name: string, path: RegExp) =>
      traffic.some(({ to, of, status }) => to === name && path.test(of) && status === 200);
    expect(letIn('nobody', /GET \/j$/)).toBe(true);
    expect(letIn('operator', /GET \/studies\/\w+\/run$/)).toBe(true);
    const told = distinct(traffic);
    const apart = told.filter(({ to, of }) => !(to === 'operator' && aboutThePlan.test(of)));
    expect(leaks(apart, secrets)).toEqual([]);
    expect(leaks([{ to: 'log', of: 'log', status: null, headers: '', body: log }], secrets)).toEqual([]);
    // Where the team reads what is compared there are no codes beside it.
    const named = told.filter((arrival) => !apart.includes(arrival) && leaks([arrival], secrets).length > 0);
    if (state !== 'draft') expect(named.length).toBeGreaterThan(0);
    expect(named.filter(({ body }) => /class="code/.test(body) || /"codes?"/.test(body))).toEqual([]);
  });
});

test('once it is unsealed the same reader finds them all', async () => {
  const traffic: Arrival[] = [];
  const house = await openHouse(copyOf(every.folders.unsealed));
  const secrets = secretsIn(house.folder);
  const planner = new Browser(house.origin, { name: 'planner', watch: (arrival) => void traffic.push(arrival) });
  for (const [cookie, value] of Object.entries(every.cookies.Ada ?? {})) planner.cookies.set(cookie, value);
  await planner.open(`${every.study}/review/record.json`);
  for (const secret of secrets) expect(leaks(traffic, [secret])).not.toEqual([]);
  await house.close();
});

test('what was good before signing out is good for nothing afterwards', async () => {
  const house = await openHouse(copyOf(every.folders['running, session open']));
  const desk = house.desk(ada.name);
  for (const [cookie, value] of Object.entries(every.cookies.Ada ?? {})) desk.cookies.set(cookie, value);
  const page = await desk.open(`${every.study}/run`);
  const csrf = page.page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const old = ['fh_visit', 'fh_staff'].map((name): [string, string] => [name, desk.cookies.get(name) ?? '']);
  await desk.signOut();

  const thief = house.desk('thief');
  for (const [name, value] of old) thief.cookies.set(name, value);
  const before = dump(house.folder);
  for (const { method, path } of routesOf(house).filter((route) => route.path.startsWith('/studies/:study'))) {
    const address = path.replace(':study', every.study.replace('/studies/', '')).replace(':other', 'key');
    const answer =
      method === 'GET'
        ? await thief.request('GET', address, { accept: 'json' })
        : await thief.post(address, { _csrf: csrf, ...guesses(path.split('/').at(-1) ?? ''), passphrase }, 'json');
    expect([method, path, answer.status]).toEqual([method, path, 401]);
  }
  expect(dump(house.folder)).toEqual(before);
  await expect(thief.connect(every.study)).rejects.toThrow();
  thief.hangUp();
  await house.close();
});

test('a link that a card has ended opens nothing, and what a phone has kept is taken from nobody', async () => {
  const house = await openHouse(copyOf(every.folders['running, session open']));
  const desk = house.desk(ada.name);
  for (const [cookie, value] of Object.entries(every.cookies.Ada ?? {})) desk.cookies.set(cookie, value);
  const card = (await desk.open(`${every.study}/run/panel`)).page.form(`#card-${every.ids.cleo.listener}`);
  const made = await desk.send(card);
  await desk.send(made.page.form('#card-instead'));

  const phone = house.phone('Cleo');
  for (const [cookie, value] of Object.entries(every.cookies.Cleo ?? {})) phone.cookies.set(cookie, value);
  const csrf = (await phone.open('/j')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const before = dump(house.folder);
  for (const { method, path } of routesOf(house).filter((route) => route.path.startsWith('/listen'))) {
    if (method === 'GET') expect((await phone.request('GET', path)).status).not.toBe(200);
    else {
      const fields = { _csrf: csrf, ...guesses(path.split('/').at(-1) ?? '') };
      expect([path, (await phone.post(path, fields, 'json')).status]).toEqual([path, expect.toBeOneOf([401, 410])]);
    }
  }
  const body = JSON.stringify(fits(every.ids.cleo.trial, every.ids.cleo.act));
  const headers = { 'x-csrf-token': csrf };
  const act = await phone.request('POST', '/listen/act', { body, type: 'application/json', accept: 'json', headers });
  expect([401, 410]).toContain(act.status);
  expect(dump(house.folder)).toEqual(before);
  await house.close();
});
