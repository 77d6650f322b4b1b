import { isDeepStrictEqual } from 'node:util';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { type Answer, Browser, type Fields } from '../../server/demo/browser';
import { Page } from '../../server/demo/page';
import { unmeasured } from '../../server/demo/staff-browser';
import { ada, copyOf, dump, openHouse, passphrase, removeFolders, watchStore } from '../support/driver';
import {
  type EveryState,
  everyState,
  fits,
  type State,
  states,
  twoUnits,
  twoUnitsAbx,
  twoUnitsImpressions,
} from './every-state';

/** Every command of every room in every state of a study: allowed, or refused with its code and nothing changed. */

const plans = { preference: twoUnits, ABX: twoUnitsAbx, 'first impressions': twoUnitsImpressions } as const;

let every: EveryState;
afterAll(removeFolders);

type Refused = [status: number, code: string];

interface Case {
  name: string;
  by: string;
  method?: 'GET';
  path: () => string;
  /** Sent as a form; an act also as JSON. */
  fields?: (state: State) => Fields;
  allowed: State[];
  /** Refusals that are not `409 wrong-state`. */
  otherwise?: Partial<Record<State, Refused>>;
  /** Allowed in that state, and changes nothing: the second of two taps, or a look. */
  idle?: State[];
  /** Nothing in it asks for the method, so once is enough. */
  once?: true;
}

const open: State = 'running, session open';
const paused: State = 'running, session paused';
const noSession: State = 'running, no session';
const running: State[] = [open, paused, noSession];
const atDesk: State[] = [open, paused];
const late: State[] = ['unsealed', 'signed', 'refused'];
const on = (path: string) => () => every.study + path;
const form = (fields: () => Fields) => fields;

const signedOut: Refused = [401, 'signed-out'];
const notFound: Refused = [404, 'not-found'];
const gone: Refused = [410, 'gone'];
const conflict: Refused = [409, 'conflict'];
const wrongPlace: Refused = [409, 'wrong-place'];
/** Before anybody joined, a phone is nobody's. */
const nobodyYet = { draft: signedOut, locked: signedOut };
const each = <T>(which: readonly State[], value: T) => Object.fromEntries(which.map((state) => [state, value]));
const withoutSession = states.filter((state) => !atDesk.includes(state));

const cases: Case[] = [
  {
    name: 'save the plan',
    by: 'Ada',
    path: on('/plan'),
    fields: form(() => ({ title: 'Another title', do: 'save' })),
    allowed: ['draft'],
  },
  { name: 'ask what a plan finds', by: 'Ada', path: on('/plan/finds'), allowed: ['draft'], idle: ['draft'] },
  {
    name: 'lock',
    by: 'Ada',
    path: on('/lock'),
    fields: form(() => ({ passphrase, passphraseAgain: passphrase, deviation: unmeasured })),
    allowed: ['draft'],
  },
  {
    name: 'open the sheet',
    by: 'Bo',
    path: on('/prepare/open'),
    fields: (state) => ({ session: state === noSession ? '2' : '1', passphrase }),
    allowed: ['locked', ...running],
  },
  {
    name: 'amend the plan',
    by: 'Ada',
    path: on('/amend'),
    fields: form(() => ({ 'audiences.0.listeners': '7', reason: 'One more listener.', seen: 'progress', passphrase })),
    allowed: ['locked', noSession, 'closed'],
    otherwise: each(atDesk, conflict),
    once: true,
  },
  {
    name: 'reveal a code',
    by: 'Ada',
    path: on('/reveal'),
    fields: form(() => ({ session: '1', code: every.ids.cleo.code, reason: 'A rash.', passphrase })),
    allowed: [...running, 'closed'],
    // No carrier was loaded yet.
    otherwise: { locked: [400, 'bad-input'] },
    once: true,
  },
  {
    name: 'note a level',
    by: 'Ada',
    path: on('/levels/note'),
    fields: (state) => ({
      ...{ unit: unitIn(state), left: '94.1', right: '94.2', measuredOn: '2026-03-01', device: 'Coupler' },
      method: 'Three fits',
    }),
    allowed: ['draft', 'locked', ...running],
    once: true,
  },
  {
    name: 'note a rework',
    by: 'Ada',
    path: on('/levels/rework'),
    fields: (state) => ({ reworked: unitIn(state), on: '2026-03-01', note: 'New damper' }),
    allowed: ['draft', 'locked', ...running],
    once: true,
  },
  {
    name: 'note the listening level',
    by: 'Ada',
    path: on('/listening-level'),
    fields: form(() => ({ method: 'coupler', reading: '70' })),
    allowed: ['draft', 'locked', ...running],
    once: true,
  },
  // Without its file, which comes in tests/import/.
  {
    name: 'bring answers',
    by: 'Ada',
    path: on('/answers/upload'),
    fields: form(() => ({ understood: 'yes' })),
    allowed: [],
    otherwise: { draft: [400, 'bad-input'] },
    once: true,
  },
  // By this plan nothing plays by itself; what plays is brought in tests/prepare/.
  {
    name: 'bring sound',
    by: 'Ada',
    path: on('/sound/upload'),
    allowed: [],
    otherwise: each(['draft', 'locked'], conflict),
    once: true,
  },
  ...['cut', 'match', 'remove'].map(
    (what): Case => ({
      name: `${what} sound`,
      by: 'Ada',
      path: on(`/sound/${what}`),
      allowed: [],
      otherwise: each(states, conflict),
      once: true,
    }),
  ),
  ...['amend', 'reveal', 'sound', 'levels', 'listening-level', 'answers'].map(
    (page): Case => ({
      name: `look at the page ${page}`,
      by: 'Ada',
      method: 'GET',
      path: on(`/${page}`),
      allowed: [...states],
      idle: [...states],
      once: true,
    }),
  ),
  {
    name: 'open a session',
    by: 'Ada',
    path: on('/run/open-session'),
    allowed: ['locked', noSession],
    otherwise: each(atDesk, conflict),
  },
  { name: 'pause', by: 'Ada', path: on('/run/pause'), allowed: atDesk, once: true },
  { name: 'go on', by: 'Ada', path: on('/run/resume'), allowed: atDesk, once: true },
  {
    name: 'close the session',
    by: 'Ada',
    path: on('/run/close-session'),
    fields: form(() => ({ understood: 'yes' })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'ask before closing the session',
    by: 'Ada',
    path: on('/run/close-session'),
    allowed: atDesk,
    idle: atDesk,
    once: true,
  },
  {
    name: 'seat',
    by: 'Ada',
    path: on('/run/seat'),
    fields: form(() => ({ sitting: every.ids.dov })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'seat out',
    by: 'Ada',
    path: on('/run/seat-out'),
    fields: form(() => ({ sitting: every.ids.cleo.sitting })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'seat again',
    by: 'Ada',
    path: on('/run/seat-again'),
    fields: form(() => ({ sitting: every.ids.gil })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'check in again',
    by: 'Ada',
    path: on('/run/check-in-again'),
    fields: form(() => ({ sitting: every.ids.joy })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'hand over',
    by: 'Ada',
    path: on('/run/hand-over'),
    fields: form(() => ({ sitting: every.ids.hal.sitting, give: every.ids.hal.give })),
    allowed: [open],
  },
  {
    name: 'take back',
    by: 'Ada',
    path: on('/run/take-back'),
    fields: form(() => ({ sitting: every.ids.cleo.sitting, code: every.ids.cleo.code })),
    allowed: atDesk,
  },
  {
    name: 'void',
    by: 'Ada',
    path: on('/run/void'),
    fields: form(() => ({ trial: every.ids.cleo.trial, reason: 'wrong-sample' })),
    allowed: atDesk,
  },
  {
    name: 'note an incident',
    by: 'Ada',
    path: on('/run/incident'),
    fields: form(() => ({ category: 'noise', text: 'A door', seat: '' })),
    allowed: atDesk,
    once: true,
  },
  {
    name: 'go on single blind',
    by: 'Ada',
    path: on('/run/single-blind'),
    fields: form(() => ({ reason: 'There is nobody else.' })),
    allowed: ['locked', ...running],
    once: true,
  },
  {
    name: 'look at the listeners',
    by: 'Ada',
    method: 'GET',
    path: () => '/listeners',
    allowed: [...states],
    idle: [...states],
    once: true,
  },
  {
    // Whom no study knows yet is sent to the door.
    name: 'look where one took part',
    by: 'Cleo',
    method: 'GET',
    path: () => '/listen/history',
    allowed: [...states],
    idle: [...states],
    once: true,
  },
  {
    name: 'look at the team',
    by: 'Ada',
    method: 'GET',
    path: on('/team'),
    allowed: [...states],
    idle: [...states],
    once: true,
  },
  {
    name: 'give a role',
    by: 'Ada',
    path: on('/team/give'),
    fields: form(() => ({ staff: every.ids.staff.bo, role: 'approver' })),
    allowed: ['draft', 'locked', ...running, 'closed', 'unsealed'],
    once: true,
  },
  {
    name: 'take a role away',
    by: 'Ada',
    path: on('/team/take'),
    fields: form(() => ({ staff: every.ids.staff.bo, role: 'analyst' })),
    allowed: ['draft', 'locked', ...running, 'closed', 'unsealed'],
    once: true,
  },
  {
    name: 'find the session',
    by: 'Ivy',
    path: () => '/j',
    fields: form(() => ({ code: every.joinCode })),
    allowed: atDesk,
    idle: atDesk,
    otherwise: each(withoutSession, notFound),
    once: true,
  },
  {
    name: 'open the door',
    by: 'Ivy',
    method: 'GET',
    path: () => `/j/${every.joinCode}`,
    allowed: atDesk,
    idle: atDesk,
    otherwise: each(withoutSession, gone),
    once: true,
  },
  {
    name: 'join',
    by: 'Ivy',
    path: () => `/j/${every.joinCode}`,
    fields: form(() => ({ alias: 'Ivy', seen: 'no' })),
    allowed: atDesk,
    otherwise: each(withoutSession, gone),
    once: true,
  },
  {
    name: 'check in',
    by: 'Eli',
    path: () => '/listen/check-in',
    fields: form(() => ({ conditions: 'none', outside: 'no' })),
    allowed: atDesk,
    otherwise: nobodyYet,
    once: true,
  },
  {
    name: 'consent',
    by: 'Fay',
    path: () => '/listen/consent',
    fields: form(() => ({ agree: 'yes' })),
    allowed: atDesk,
    otherwise: nobodyYet,
    once: true,
  },
  {
    name: 'answer the closing question',
    by: 'Cleo',
    path: () => '/listen/guess',
    fields: form(() => ({ code: '417', choice: '0', sure: 'guess' })),
    // Nobody is through yet, and this plan doesn't ask; what is said by whoever is, see tests/listen/.
    allowed: [],
    otherwise: { ...nobodyYet, ...each(running, wrongPlace) },
    once: true,
  },
  { name: 'stop', by: 'Cleo', path: () => '/listen/stop', allowed: atDesk, otherwise: nobodyYet, once: true },
  {
    name: 'act by form',
    by: 'Cleo',
    path: () => '/listen/act',
    fields: form(() => ({ kind: every.ids.cleo.act, trial: every.ids.cleo.trial, presentation: '1' })),
    // What was on its way when the pause came is still kept.
    allowed: atDesk,
    otherwise: nobodyYet,
  },
  {
    name: 'send an answer that comes too late',
    by: 'Cleo',
    path: () => '/listen/act',
    fields: form(() =>
      every.ids.cleo.act === 'rested'
        ? { kind: 'rate', trial: every.ids.cleo.trial, scale_liking: '1', scale_bass: '2' }
        : { kind: 'answer', trial: every.ids.cleo.trial, answer: every.ids.cleo.code },
    ),
    // While the session goes on it is an act like others, and Cleo isn't at the question.
    allowed: [noSession, 'closed', ...late],
    otherwise: { ...nobodyYet, ...each(atDesk, [409, 'wrong-place'] as Refused) },
  },
  {
    name: 'go on with another phone',
    by: 'Cleo',
    path: () => '/listen/here',
    allowed: atDesk,
    otherwise: nobodyYet,
    once: true,
  },
  {
    name: 'make a card',
    by: 'Ada',
    path: on('/run/card'),
    fields: form(() => ({ listener: every.ids.cleo.listener })),
    allowed: running,
    // Nobody has joined yet.
    otherwise: { locked: notFound },
    once: true,
  },
  {
    name: 'look at the panel',
    by: 'Ada',
    method: 'GET',
    path: on('/run/panel'),
    allowed: [...states],
    idle: [...states],
    once: true,
  },
  {
    name: 'declare outside listening',
    by: 'Ada',
    path: on('/exposure'),
    fields: (state) => ({ listener: every.ids.cleo.listener, prototype: prototypeIn(state), times: '12', how: 'open' }),
    allowed: running,
    otherwise: { locked: [400, 'bad-input'] },
    once: true,
  },
  {
    name: 'plan a follow-up',
    by: 'Ada',
    path: on('/follow-up'),
    allowed: ['closed', ...late],
    once: true,
  },
  {
    name: 'close the study',
    by: 'Ada',
    path: on('/review/close'),
    fields: form(() => ({ understood: 'yes' })),
    allowed: running,
    once: true,
  },
  {
    name: 'see whether the plan has looks',
    by: 'Ada',
    method: 'GET',
    path: on('/review/looks'),
    allowed: running,
    idle: running,
    once: true,
  },
  {
    // These plans are of fixed size; one with looks is played in looks.test.ts.
    name: 'look on the way',
    by: 'Ada',
    path: on('/review/looks'),
    allowed: [],
    otherwise: each(running, conflict),
    once: true,
  },
  {
    name: 'look at the data by code',
    by: 'Ada',
    method: 'GET',
    path: on('/review/data'),
    allowed: ['closed', ...late],
    idle: ['closed', ...late],
    once: true,
  },
  { name: 'open the data by code', by: 'Ada', path: on('/review/data/open'), allowed: ['closed'], once: true },
  {
    // Nothing was answered in this study; that it goes through otherwise is played in late-answer.test.ts.
    name: 'leave a sitting out',
    by: 'Ada',
    path: on('/review/data/exclude'),
    fields: form(() => ({ target: `sitting:${every.ids.cleo.sitting}`, reason: 'The door slammed.' })),
    allowed: [],
    otherwise: each(['closed', 'unsealed'], [400, 'bad-input'] as Refused),
    once: true,
  },
  {
    name: 'take a sitting back in',
    by: 'Ada',
    path: on('/review/data/take-back'),
    fields: form(() => ({ target: `sitting:${every.ids.cleo.sitting}` })),
    allowed: [],
    otherwise: each(['closed', 'unsealed'], conflict),
    once: true,
  },
  {
    name: 'unseal',
    by: 'Ada',
    path: on('/review/unseal'),
    fields: form(() => ({ passphrase })),
    allowed: ['closed'],
  },
  ...(['sign', 'refuse'] as const).map(
    (decision): Case => ({
      name: decision,
      by: 'Ada',
      path: on('/review/sign'),
      fields: () => ({
        decision,
        meaning: 'reviewed',
        reason: 'Because of this.',
        alone: 'There is nobody else.',
        findings: every.findings,
        password: ada.password,
      }),
      allowed: ['unsealed'],
    }),
  ),
  ...['report.html', 'answers.csv', 'dictionary.csv', 'record.json', 'findings.json'].map(
    (file): Case => ({
      name: `download ${file}`,
      by: 'Ada',
      method: 'GET',
      path: on(`/review/${file}`),
      allowed: late,
      idle: late,
    }),
  ),
];

async function serve(state: State) {
  const house = await openHouse(copyOf(every.folders[state]));
  const browsers = new Map<string, { browser: Browser; csrf: string }>();
  const browserOf = async (name: string) => {
    const there = browsers.get(name);
    if (there) return there;
    const browser = new Browser(house.origin, { name });
    for (const [cookie, value] of Object.entries(every.cookies[name] ?? {})) browser.cookies.set(cookie, value);
    const page = (await browser.open('/j')).page;
    const made = { browser, csrf: page.find('input[name="_csrf"]')?.getAttribute('value') ?? '' };
    browsers.set(name, made);
    return made;
  };
  const send = async (one: Case, accept: 'page' | 'json'): Promise<Answer> => {
    const { browser, csrf } = await browserOf(one.by);
    if (one.method === 'GET') return browser.request('GET', one.path(), { accept });
    return browser.post(one.path(), { _csrf: csrf, ...one.fields?.(state) }, accept);
  };
  const act = async (): Promise<Answer> => {
    const { browser, csrf } = await browserOf('Cleo');
    const body = JSON.stringify(fits(every.ids.cleo.trial, every.ids.cleo.act));
    const headers = { 'x-csrf-token': csrf };
    return browser.request('POST', '/listen/act', { body, type: 'application/json', accept: 'json', headers });
  };
  return { ...house, send, act };
}

const kept = new Map<string, ReturnType<typeof dump>>();
/** What is stored in a state before anybody does anything. */
function keptIn(state: State): ReturnType<typeof dump> {
  const folder = every.folders[state];
  const known = kept.get(folder) ?? dump(folder);
  kept.set(folder, known);
  return known;
}

const unitIn = (state: State): string => {
  const [study] = keptIn(state).study as { plan: string }[];
  const { prototypes } = JSON.parse(study?.plan ?? '{}') as { prototypes: { units: { id: string }[] }[] };
  return prototypes[0]?.units[0]?.id ?? '';
};

const prototypeIn = (state: State): string => {
  const [study] = keptIn(state).study as { plan: string }[];
  return (JSON.parse(study?.plan ?? '{}') as { prototypes: { id: string }[] }).prototypes[0]?.id ?? '';
};

describe.each(Object.entries(plans))('%s', (method, plan) => {
  beforeAll(async () => {
    every = await everyState(plan);
  });
  const own = cases.filter(({ once }) => method === 'preference' || !once);

  describe.each(states)('%s', (state) => {
    test('refuses what is not for now, to a person and to a program, and changes nothing', async () => {
      const server = await serve(state);
      const stored = watchStore(server.folder);
      try {
        const before = stored.now();
        for (const one of own.filter(({ allowed }) => !allowed.includes(state))) {
          const [status, code] = one.otherwise?.[state] ?? [409, 'wrong-state'];
          const program = await server.send(one, 'json');
          expect([one.name, program.status], program.body).toEqual([one.name, status]);
          expect(program.headers.get('content-type')).toMatch(/^application\/json/);
          const { error } = program.json<{ error: { code: string; message: string; path: string } }>();
          expect([one.name, error.code]).toEqual([one.name, code]);
          expect(error.path).toBeTypeOf('string');

          const person = await server.send(one, 'page');
          expect([one.name, person.status]).toEqual([one.name, status]);
          expect(person.headers.get('content-type')).toMatch(/^text\/html/);
          expect(plain(new Page(person.body).text('body'))).toContain(plain(error.message));
          expect(stored.now(), one.name).toEqual(before);
        }
        if (!atDesk.includes(state)) {
          const reply = await server.act();
          const [status, code] = nobodyYet[state as 'draft'] ?? [409, 'wrong-state'];
          expect([reply.status, reply.json<{ error: { code: string } }>().error.code]).toEqual([status, code]);
          expect(stored.now()).toEqual(before);
        }
      } finally {
        stored.close();
        await server.close();
      }
    });

    const now = own.filter(({ allowed }) => allowed.includes(state));
    const moves = now.filter(({ idle }) => !idle?.includes(state));
    test.each(moves.map((one) => [one.name, one] as const))('allows: %s', async (_name, one) => {
      const server = await serve(state);
      try {
        const answer = await server.send(one, 'page');
        expect([200, 303], answer.page.text('body')).toContain(answer.status);
        expect(isDeepStrictEqual(dump(server.folder), keptIn(state))).toBe(false);
      } finally {
        await server.close();
      }
    });

    test('allows what changes nothing', async () => {
      const server = await serve(state);
      const stored = watchStore(server.folder);
      try {
        const before = stored.now();
        for (const one of now.filter((one) => !moves.includes(one))) {
          const answer = await server.send(one, 'page');
          expect([200, 303], `${one.name}: ${answer.page.text('body')}`).toContain(answer.status);
          expect(stored.now(), one.name).toEqual(before);
        }
      } finally {
        stored.close();
        await server.close();
      }
    });
  });

  test('an act by JSON is taken while the session is open or paused', async () => {
    for (const state of atDesk) {
      const server = await serve(state);
      expect((await server.act()).json()).toMatchObject({ ok: true });
      await server.close();
    }
  });

  test('a signed-out browser may do none of it', async () => {
    const server = await serve(open);
    for (const one of own.filter(({ by }) => by === 'Ada' || by === 'Bo')) {
      const answer = await server.send({ ...one, by: 'nobody' }, 'json');
      expect([one.name, answer.status]).toEqual([one.name, 401]);
    }
    expect(dump(server.folder)).toEqual(keptIn(open));
    await server.close();
  });
});

const plain = (text: string): string => text.replace(/\s+/g, ' ').trim();
