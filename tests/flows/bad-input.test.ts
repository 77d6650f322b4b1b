import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import { Browser } from '../../server/demo/browser';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { Page } from '../../server/demo/page';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { unmeasured } from '../../server/demo/staff-browser';
import type { ActReply } from '../../shared/wire';
import { ada, bo, copyOf, dump, type House, openHouse, passphrase, removeFolders } from '../support/driver';
import { type EveryState, everyState, fits, type State, twoUnits } from './every-state';

/** What people, programs and clumsy thumbs send that can't be taken: said where it is wrong, and nothing changes. */

let every: EveryState;
/** A data folder with a second study whose session is open too. */
let withOther: string;
const other = { study: '', joinCode: '', sitting: '', trial: '', code: '', zoe: '' };

beforeAll(async () => {
  every = await everyState();
  withOther = copyOf(every.folders['running, session open']);
  const house = await openHouse(withOther);
  const desk = house.desk('Ada');
  for (const [name, value] of Object.entries(every.cookies.Ada ?? {})) desk.cookies.set(name, value);
  other.study = await desk.plan({
    ...twoUnits,
    title: 'Another study',
    noPreference: 'split',
    audiences: [
      { name: 'Stage', listeners: 2 },
      { name: 'Home', listeners: 2 },
    ],
  });
  await desk.lock(other.study, passphrase);
  other.joinCode = (await desk.openSession(other.study)).joinCode;
  const phone = house.phone('Zoe');
  await phone.join(other.joinCode, { alias: 'Zoe', audience: 'Home' });
  await phone.checkIn();
  await phone.consent();
  const seat = (await desk.look(other.study)).arrivals[0]?.seat;
  other.sitting = seat?.fields.sitting ?? '';
  if (seat) await desk.act(seat);
  const hand = (await desk.look(other.study)).hands[0]?.form;
  if (hand) await desk.act(hand);
  await phone.reload();
  other.trial = phone.place?.trial ?? '';
  other.code = phone.place?.code ?? '';
  other.zoe = phone.cookies.get('fh_listener') ?? '';
  await house.close();
});
afterAll(removeFolders);

let house: House;
const phones: PhoneBrowser[] = [];
afterEach(async () => {
  for (const phone of phones.splice(0)) phone.hangUp();
  await house.close();
});

const serve = async (folder: string) => {
  house = await openHouse(copyOf(folder));
  return house;
};
const as = <T extends Browser>(browser: T, cookies: Record<string, string>): T => {
  for (const [name, value] of Object.entries(cookies)) browser.cookies.set(name, value);
  return browser;
};
const staff = (): DeskBrowser => as(house.desk('Ada'), every.cookies.Ada ?? {});
const phone = (alias: string): PhoneBrowser => {
  const made = as(house.phone(alias), every.cookies[alias] ?? {});
  phones.push(made);
  return made;
};
const tokenOf = async (browser: Browser) =>
  (await browser.open('/j')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';

interface Refused {
  status: number;
  code: string;
  path: string;
  /** The code of the first problem, where the form has problems of its own. */
  problem?: string;
}
const bad = (path: string, problem?: string): Refused => ({
  status: 400,
  code: 'bad-input',
  path,
  ...(problem ? { problem } : {}),
});

/**
 * Sends it as a program and as a person; both are refused, and nothing that is stored has changed: but that somebody
 * reached for the key is noted each time, with the command that wanted it.
 */
async function refused(
  browser: Browser,
  path: string,
  fields: Record<string, unknown>,
  expected: Refused,
  reachedFor: string | null = null,
) {
  const { folder } = house;
  const unchanged = (what: string, before: Record<string, unknown[]>, times: number) => {
    const after = dump(folder);
    if (reachedFor !== null) {
      const added = (after.ledger as { kind: string; body: string }[]).splice(before.ledger?.length ?? 0);
      const noted = added.map(({ kind, body }) => [kind, JSON.parse(body) as unknown]);
      expect(noted).toEqual(Array.from({ length: times }, () => ['key-refused', { what: reachedFor }]));
      (after.signature as unknown[]).splice(before.signature?.length ?? 0);
    }
    expect(after, what).toEqual(before);
  };
  const csrf = await tokenOf(browser);
  const before = dump(folder);
  const what = `${path} ${JSON.stringify(fields)}`;
  const program = await browser.request('POST', path, {
    body: JSON.stringify(fields),
    type: 'application/json',
    accept: 'json',
    headers: { 'x-csrf-token': csrf },
  });
  const said = program.json<{
    error: { code: string; path: string; message: string };
    problems?: { code: string }[];
  }>();
  expect({ what, status: program.status, code: said.error?.code, path: said.error?.path }, program.body).toEqual({
    what,
    status: expected.status,
    code: expected.code,
    path: expected.path,
  });
  if (expected.problem) expect([what, said.problems?.[0]?.code]).toEqual([what, expected.problem]);
  // A person's form has texts only.
  const texts = Object.entries(fields).filter((field): field is [string, string] => typeof field[1] === 'string');
  if (texts.length < Object.values(fields).filter((value) => value !== undefined).length) {
    unchanged(what, before, 1);
    return new Page(program.body);
  }
  const person = await browser.post(path, { _csrf: csrf, ...Object.fromEntries(texts) });
  expect([what, person.status]).toEqual([what, expected.status]);
  expect(person.page.text('body')).toContain(said.error.message.replace(/\s+/g, ' '));
  unchanged(what, before, 2);
  return person.page;
}

const shown = (page: Page, name: string) => page.find(`input[name="${name}"]`)?.getAttribute('value');
const checked = (page: Page, name: string) => page.find(`input[name="${name}"][checked]`)?.getAttribute('value');
const long = (length: number) => 'x'.repeat(length);

describe('plan', () => {
  test('a new study needs a name and something to start from; what was typed stays', async () => {
    await serve(every.folders.draft);
    const ada = staff();
    await refused(ada, '/studies', { preset: 'two' }, bad('title', 'missing'));
    await refused(ada, '/studies', { title: '   ', preset: 'two' }, bad('title', 'missing'));
    const page = await refused(ada, '/studies', { title: long(121), preset: 'two' }, bad('title', 'too-long'));
    expect(shown(page, 'title')).toBe(long(121));
    const without = await refused(ada, '/studies', { title: 'Vents', preset: 'nine' }, bad('preset', 'not-a-choice'));
    expect(shown(without, 'title')).toBe('Vents');
  });

  test.each([
    ['method.spec.turns', 'many', 'wrong-type'],
    ['method.spec.turns', '0', 'too-small'],
    ['method.spec.turns', '61', 'too-large'],
    ['sessions.count', '1.5', 'wrong-type'],
    ['audiences.0.listeners', '201', 'too-large'],
    ['audiences.0.name', long(61), 'too-long'],
    ['prototypes.1.name', long(61), 'too-long'],
    ['prototypes.0.units.1.serial', long(61), 'too-long'],
    ['prototypes.0.units.0.note', long(301), 'too-long'],
    ['risks.alpha', '0,5', 'too-large'],
    ['risks.smallest.value', '0.5', 'too-small'],
    ['timing.listen', '-3', 'too-small'],
  ])('a draft keeps %s = “%s” as typed, says what is wrong, and can’t be locked with it', async (name, value, code) => {
    await serve(every.folders.draft);
    const ada = staff();
    const csrf = await tokenOf(ada);
    const ledger = dump(house.folder).ledger;
    const answer = await ada.post(`${every.study}/plan`, { _csrf: csrf, [name]: value, do: 'save' }, 'json');
    expect([answer.status, answer.json<{ error: { path: string } }>().error.path]).toEqual([400, name]);
    expect(answer.json<{ problems: { code: string }[] }>().problems[0]?.code).toBe(code);
    const page = (await ada.open(`${every.study}/plan`)).page;
    expect(shown(page, name)).toBe(value);
    const locking = { passphrase, passphraseAgain: passphrase };
    await refused(ada, `${every.study}/lock`, locking, bad(name, code));
    expect(dump(house.folder).ledger).toEqual(ledger);
  });

  test('a passphrase must be long enough and typed twice alike, and is never shown again', async () => {
    await serve(every.folders.draft);
    const ada = staff();
    const path = `${every.study}/lock`;
    const short = await refused(
      ada,
      path,
      { passphrase: 'short', passphraseAgain: 'short' },
      bad('passphrase', 'too-short'),
    );
    expect(short.html).not.toContain('value="short"');
    await refused(ada, path, { passphraseAgain: passphrase }, bad('passphrase', 'missing'));
    await refused(
      ada,
      path,
      { passphrase: [passphrase, 'x'], passphraseAgain: passphrase },
      bad('passphrase', 'repeated'),
    );
    const long201 = long(201);
    await refused(ada, path, { passphrase: long201, passphraseAgain: long201 }, bad('passphrase', 'too-long'));
    await refused(ada, path, { passphrase, passphraseAgain: `${passphrase}!` }, bad('passphraseAgain'));
  });

  test('levels that nobody measured want a reason, which stays', async () => {
    await serve(every.folders.draft);
    const ada = staff();
    const path = `${every.study}/lock`;
    const twice = { passphrase, passphraseAgain: passphrase };
    const without = await refused(ada, path, twice, bad('deviation'));
    expect(without.text('#deviation-error')).toMatch(/was never measured/);
    const short = await refused(ada, path, { ...twice, deviation: ' no ' }, bad('deviation'));
    expect(shown(short, 'deviation')).toBe(' no ');
    await refused(ada, path, { ...twice, deviation: long(301) }, bad('deviation', 'too-long'));
    await refused(ada, path, { ...twice, deviation: ['a reason', 'another'] }, bad('deviation', 'repeated'));
  });
});

describe('prepare', () => {
  test('the sheet opens only with the right passphrase, for the session that is on', async () => {
    await serve(every.folders['running, session open']);
    const preparer = as(house.staff('Bo'), every.cookies.Bo ?? {});
    const path = `${every.study}/prepare/open`;
    const wrong = { status: 403, code: 'wrong-password', path: 'passphrase' };
    const page = await refused(preparer, path, { session: '1', passphrase: 'not that one' }, wrong, 'open-sheet');
    expect(page.html).not.toContain('not that one');
    await refused(preparer, path, { session: '1' }, bad('passphrase', 'missing'));
    await refused(preparer, path, { session: '7', passphrase }, { status: 409, code: 'conflict', path: 'session' });
    await refused(preparer, path, { session: 'x', passphrase }, bad('session'));
  });
});

describe('amendments', () => {
  const good = { 'audiences.0.listeners': '7', reason: 'One more listener.', seen: 'progress' };

  test('each field says what is wrong with it; what was typed stays', async () => {
    await serve(every.folders['running, no session']);
    const [ada, path] = [staff(), `${every.study}/amend`];
    const page = await refused(ada, path, { ...good, reason: '' }, bad('reason', 'missing'));
    expect(shown(page, 'audiences.0.listeners')).toBe('7');
    expect(checked(page, 'seen')).toBe('progress');
    await refused(ada, path, { ...good, reason: long(501) }, bad('reason', 'too-long'));
    await refused(ada, path, { ...good, reason: { $ne: '' } }, bad('reason', 'wrong-type'));
    await refused(ada, path, { ...good, seen: 'everything' }, bad('seen', 'not-a-choice'));
    await refused(ada, path, { ...good, seen: 'key' }, bad('seenWords', 'missing'));
    await refused(ada, path, { ...good, 'audiences.0.listeners': '1' }, bad('audiences.0.listeners', 'too-small'));
    await refused(ada, path, { ...good, 'audiences.0.listeners': '6' }, bad('changes', 'missing'));
    await refused(ada, path, { ...good, 'sessions.count': 'two' }, bad('sessions.count', 'wrong-type'));
  });

  test('a closed study wants the passphrase, and never shows it again', async () => {
    await serve(every.folders.closed);
    const [ada, path] = [staff(), `${every.study}/amend`];
    await refused(ada, path, good, bad('passphrase'));
    await refused(ada, path, { ...good, passphrase: long(201) }, bad('passphrase', 'too-long'));
    const wrong = { status: 403, code: 'wrong-password', path: 'passphrase' };
    const page = await refused(ada, path, { ...good, passphrase: 'not that one' }, wrong, 'amend');
    expect(page.html).not.toContain('not that one');
  });
});

describe('run', () => {
  const sittings = ['seat', 'seat-out', 'seat-again', 'check-in-again'];

  test('every form of the desk says which field is wrong', async () => {
    await serve(withOther);
    const ada = staff();
    const run = (name: string) => `${every.study}/run/${name}`;
    const { cleo, hal } = every.ids;
    const none = { status: 404, code: 'not-found', path: 'sitting' };
    for (const name of sittings) {
      await refused(ada, run(name), {}, bad('sitting', 'missing'));
      await refused(ada, run(name), { sitting: { a: 1 } }, bad('sitting', 'wrong-type'));
      await refused(ada, run(name), { sitting: ['a', 'b'] }, bad('sitting', 'repeated'));
      await refused(ada, run(name), { sitting: long(41) }, bad('sitting', 'too-long'));
      await refused(ada, run(name), { sitting: '01NOBODY' }, none);
      // Somebody sits under that number, but in another study.
      await refused(ada, run(name), { sitting: other.sitting }, none);
      await refused(ada, run(name), { sitting: cleo.sitting, more: 'x' }, bad('more', 'unknown-field'));
    }
    const give = (fields: Record<string, unknown>) => ({ sitting: hal.sitting, give: hal.give, ...fields });
    await refused(ada, run('hand-over'), give({ give: '12' }), bad('give', 'bad-format'));
    await refused(ada, run('hand-over'), give({ give: undefined }), bad('give', 'missing'));
    await refused(ada, run('hand-over'), give({ sitting: other.sitting }), none);
    const place = (path: string) => ({ status: 409, code: 'wrong-place', path });
    await refused(ada, run('hand-over'), give({ give: cleo.code }), place('give'));
    await refused(ada, run('hand-over'), give({ takeBack: cleo.code }), place('takeBack'));
    await refused(ada, run('hand-over'), give({ takeBack: 'abc' }), bad('takeBack'));
    await refused(ada, run('take-back'), { sitting: cleo.sitting, code: hal.give }, place('code'));
    await refused(ada, run('take-back'), { sitting: cleo.sitting }, bad('code', 'missing'));
    await refused(ada, run('take-back'), { sitting: other.sitting, code: other.code }, none);

    const spoil = (fields: Record<string, unknown>) => ({ trial: cleo.trial, reason: 'other', ...fields });
    const noTrial = { status: 404, code: 'not-found', path: 'trial' };
    await refused(ada, run('void'), spoil({ reason: 'boredom' }), bad('reason', 'not-a-choice'));
    await refused(ada, run('void'), spoil({ reason: undefined }), bad('reason', 'missing'));
    await refused(ada, run('void'), spoil({ text: long(301) }), bad('text', 'too-long'));
    await refused(ada, run('void'), spoil({ trial: '01NOTRIAL' }), noTrial);
    await refused(ada, run('void'), spoil({ trial: other.trial }), noTrial);

    const incident = (fields: Record<string, unknown>) => ({ category: 'noise', text: '', seat: '', ...fields });
    await refused(ada, run('incident'), incident({ category: 'gossip' }), bad('category', 'not-a-choice'));
    await refused(ada, run('incident'), incident({ text: long(301) }), bad('text', 'too-long'));
    await refused(ada, run('incident'), incident({ text: ['a', 'b'] }), bad('text', 'repeated'));
    for (const seat of ['abc', '0', '1.5', '1000']) {
      await refused(ada, run('incident'), incident({ seat }), bad('seat'));
    }
    await refused(ada, run('incident'), incident({ seat: { a: 1 } }), bad('seat'));
    await refused(ada, run('incident'), incident({ seat: '77' }), { status: 404, code: 'not-found', path: 'seat' });
    await refused(ada, run('single-blind'), { reason: 'x' }, bad('reason', 'too-short'));
    await refused(ada, run('pause'), { now: 'yes' }, bad('now', 'unknown-field'));
    await refused(ada, run('dance'), {}, { status: 404, code: 'not-found', path: '' });
  });

  test('two taps at once are one', async () => {
    await serve(withOther);
    const ada = staff();
    const csrf = await tokenOf(ada);
    const twice = async (name: string, fields: Record<string, string>) => {
      const before = dump(house.folder).ledger as unknown[];
      const send = () => ada.post(`${every.study}/run/${name}`, { _csrf: csrf, ...fields });
      const answers = await Promise.all([send(), send()]);
      expect([name, ...answers.map(({ status }) => status)]).toEqual([name, 303, 303]);
      const added = (dump(house.folder).ledger as { kind: string }[]).slice(before.length);
      expect(added.map(({ kind }) => kind)).toHaveLength(1);
    };
    const { cleo, hal, dov, gil, joy } = every.ids;
    await twice('hand-over', { sitting: hal.sitting, give: hal.give });
    await twice('take-back', { sitting: cleo.sitting, code: cleo.code });
    await twice('seat', { sitting: dov });
    await twice('seat-out', { sitting: dov });
    await twice('seat-again', { sitting: gil });
    await twice('check-in-again', { sitting: joy });
    await twice('pause', {});
    await twice('resume', {});
  });
});

describe('team', () => {
  test('who gets which role, and what it costs, is said; a role that is needed stays', async () => {
    await serve(every.folders['running, no session']);
    const ada = staff();
    const { ada: own, bo: other } = every.ids.staff;
    const give = (fields: Record<string, unknown>) =>
      [`${every.study}/team/give`, { staff: other, role: 'approver', ...fields }] as const;
    await refused(ada, ...give({ staff: undefined }), bad('staff', 'missing'));
    await refused(ada, ...give({ staff: '01NOBODY' }), bad('staff'));
    await refused(ada, ...give({ staff: long(41) }), bad('staff', 'too-long'));
    await refused(ada, ...give({ role: 'cook' }), bad('role', 'not-a-choice'));
    await refused(ada, ...give({ more: 'x' }), bad('more', 'unknown-field'));
    // Bo has opened the sheet, Ada has run the desk.
    const clash = { status: 409, code: 'conflict', path: 'singleBlind' };
    await refused(ada, ...give({ role: 'operator' }), clash);
    const asked = await refused(ada, ...give({ staff: own, role: 'preparer', reason: 'We are two' }), clash);
    expect(shown(asked, 'reason')).toBe('We are two');
    await refused(ada, ...give({ role: 'operator', singleBlind: 'yes', reason: ' x' }), bad('reason'));
    await refused(ada, ...give({ role: 'operator', singleBlind: 'yes', reason: long(201) }), bad('reason', 'too-long'));
    const slip = { role: 'operator', singleBlind: 'yes', reason: '417 is the Narrow vent' };
    await refused(ada, ...give(slip), bad('reason'));
    const last = { staff: own, role: 'designer' };
    await refused(ada, `${every.study}/team/take`, last, { status: 409, code: 'conflict', path: 'staff' });
    await refused(ada, `${every.study}/team/take`, { staff: own }, bad('role', 'missing'));
  });

  test('only the designer gives roles, and after closing only those who judge', async () => {
    await serve(every.folders.closed);
    const bo = as(house.staff('Bo'), every.cookies.Bo ?? {});
    const analyst = { staff: every.ids.staff.bo, role: 'analyst' };
    await refused(bo, `${every.study}/team/give`, analyst, { status: 403, code: 'barred', path: 'role' });
    const late = { status: 409, code: 'wrong-state', path: 'role' };
    await refused(staff(), `${every.study}/team/give`, { ...analyst, role: 'preparer' }, late);
    await refused(staff(), `${every.study}/team/take`, { ...analyst, role: 'designer' }, late);
  });
});

describe('listen', () => {
  test('the door: code, alias, audience and the honest question', async () => {
    await serve(withOther);
    const newcomer = new Browser(house.origin, { name: 'Ivy' });
    const door = `/j/${every.joinCode}`;
    const none = { status: 404, code: 'not-found', path: 'code' };
    expect(shown(await refused(newcomer, '/j', { code: 'QQQQQ' }, none), 'code')).toBe('QQQQQ');
    await refused(newcomer, '/j', { code: '' }, none);
    await refused(newcomer, '/j', {}, none);
    await refused(newcomer, door, { seen: 'no' }, bad('alias'));
    await refused(newcomer, door, { alias: '  ', seen: 'no' }, bad('alias'));
    const page = await refused(newcomer, door, { alias: long(41), seen: 'no' }, bad('alias', 'too-long'));
    expect(shown(page, 'alias')).toBe(long(41));
    const taken = await refused(
      newcomer,
      door,
      { alias: 'cLEO ', seen: 'no' },
      { status: 409, code: 'conflict', path: 'alias' },
    );
    expect(shown(taken, 'alias')).toBe('cLEO ');
    await refused(newcomer, door, { alias: 'Ivy' }, bad('seen', 'missing'));
    await refused(newcomer, door, { alias: 'Ivy', seen: 'maybe' }, bad('seen', 'not-a-choice'));
    await refused(newcomer, door, { alias: ['Ivy', 'Ivo'], seen: 'no' }, bad('alias', 'repeated'));
    const audience = await refused(
      newcomer,
      `/j/${other.joinCode}`,
      { alias: 'Ivy', audience: 'nobody', seen: 'no' },
      bad('audience'),
    );
    expect(shown(audience, 'alias')).toBe('Ivy');
    await refused(newcomer, '/listen/act', fits('x'), { status: 401, code: 'signed-out', path: '' });
  });

  test('check-in and consent: what was chosen stays chosen', async () => {
    await serve(withOther);
    const eli = phone('Eli');
    const page = await refused(eli, '/listen/check-in', { conditions: 'congestion' }, bad('outside', 'missing'));
    expect(checked(page, 'conditions')).toBe('congestion');
    await refused(eli, '/listen/check-in', { outside: 'no' }, bad('conditions'));
    const odd = { conditions: ['none', 'pain'], outside: 'no' };
    await refused(eli, '/listen/check-in', odd, bad('conditions'));
    await refused(
      eli,
      '/listen/check-in',
      { conditions: ['fine'], outside: 'no' },
      bad('conditions.0', 'not-a-choice'),
    );
    await refused(eli, '/listen/check-in', { conditions: 'none', outside: 'perhaps' }, bad('outside', 'not-a-choice'));
    await refused(eli, '/listen/consent', { agree: 'yes' }, { status: 409, code: 'wrong-place', path: 'sitting' });
    const fay = phone('Fay');
    await refused(fay, '/listen/consent', {}, bad('agree', 'missing'));
    await refused(fay, '/listen/consent', { agree: 'perhaps' }, bad('agree', 'not-a-choice'));
    await refused(
      phone('Hal'),
      '/listen/check-in',
      { conditions: 'none', outside: 'no' },
      {
        status: 409,
        code: 'wrong-place',
        path: 'sitting',
      },
    );
  });

  test('a join that is sent twice at once makes one listener', async () => {
    await serve(withOther);
    const newcomer = new Browser(house.origin, { name: 'Ivy' });
    const form = (await newcomer.open(`/j/${every.joinCode}`)).page.form('main');
    const answers = await Promise.all([1, 2].map(() => newcomer.send(form, { alias: 'Ivy', seen: 'no' })));
    for (const answer of answers) expect(answer.page.problems()).toEqual([]);
    const { listener, sitting } = dump(house.folder) as { listener: { alias: string }[]; sitting: unknown[] };
    expect(listener.filter(({ alias }) => alias === 'Ivy')).toHaveLength(1);
    expect(sitting).toHaveLength((dump(withOther).sitting as unknown[]).length + 1);
    expect((await newcomer.open('/listen')).page.text('h1')).toBe('How are you today?');
  });
});

describe('acts', () => {
  const changed = (change: Record<string, unknown>) => ({ ...fits(every.ids.cleo.trial), ...change });
  const without = (name: string) => {
    const { [name]: _, ...rest } = fits(every.ids.cleo.trial) as Record<string, unknown>;
    return rest;
  };
  const answer = (value: unknown) => ({ ...without('presentation'), kind: 'answer', answer: value });
  const words = (value: unknown) => ({ ...without('presentation'), kind: 'words', words: value });
  const one = { place: 1, scale: 'quality', value: 3 };
  const grades = (value: unknown, ticks: unknown = []) => changed({ kind: 'grade', grades: value, ticks });
  const malformed: [what: string, act: () => unknown, path: string][] = [
    ['nothing', () => null, ''],
    ['a list', () => [1], ''],
    ['a word', () => 'fits', ''],
    ['an id too short', () => changed({ id: 'abc' }), 'id'],
    ['an id in capitals', () => changed({ id: 'F'.repeat(24) }), 'id'],
    ['an id that is a number', () => changed({ id: 7 }), 'id'],
    ['no id', () => without('id'), 'id'],
    ['an unknown kind', () => changed({ kind: 'dance' }), 'kind'],
    ['no kind', () => without('kind'), 'kind'],
    ['presentation 0', () => changed({ presentation: 0 }), 'presentation'],
    ['presentation 14', () => changed({ presentation: 14 }), 'presentation'],
    ['presentation 1.5', () => changed({ presentation: 1.5 }), 'presentation'],
    ['presentation as text', () => changed({ presentation: '1' }), 'presentation'],
    ['no trial', () => without('trial'), 'trial'],
    ['a trial too long', () => changed({ trial: long(41) }), 'trial'],
    ['no times', () => without('times'), 'times'],
    ['times before 1970', () => changed({ times: { sincePlaying: null, wall: -1 } }), 'times.wall'],
    ['more than a day', () => changed({ times: { sincePlaying: 1e9, wall: 1 } }), 'times.sincePlaying'],
    ['a field too many', () => changed({ unit: 'NV-001' }), 'unit'],
    ['an answer too long', () => answer(long(41)), 'answer'],
    ['an answer that is a number', () => answer(417), 'answer'],
    ['grades of place 0', () => grades([{ ...one, place: 0 }]), 'grades.0.place'],
    ['grades of place 14', () => grades([{ ...one, place: 14 }]), 'grades.0.place'],
    ['a grade that is text', () => grades([{ ...one, value: '4.25' }]), 'grades.0.value'],
    ['a grade that is no number', () => grades([{ ...one, value: Number.NaN }]), 'grades.0.value'],
    ['a grade of a thousand million', () => grades([{ ...one, value: 1e9 }]), 'grades.0.value'],
    ['a grade on no scale', () => grades([{ ...one, scale: '' }]), 'grades.0.scale'],
    ['a grade with a field too many', () => grades([{ ...one, code: '417' }]), 'grades.0.code'],
    ['grades that are no list', () => grades({ 1: one }), 'grades'],
    ['more grades than there are', () => grades(Array.from({ length: 73 }, () => one)), 'grades'],
    ['no words', () => grades([one], null), 'ticks'],
    ['a word that is none', () => grades([one], [{ place: 1, attributes: [''] }]), 'ticks.0.attributes.0'],
    ['words of place 14', () => grades([one], [{ place: 14, attributes: [] }]), 'ticks.0.place'],
    ['words too long', () => words([{ code: '417', text: long(301) }]), 'words.0.text'],
    ['words about thirteen', () => words(Array.from({ length: 13 }, () => ({ code: '1', text: '' }))), 'words'],
  ];

  test('what is malformed is refused by socket and by HTTP with the field that is wrong', async () => {
    await serve(withOther);
    const cleo = phone('Cleo');
    await cleo.connect();
    const before = dump(house.folder);
    const seen = cleo.place;
    for (const [what, act, path] of malformed) {
      const bySocket = await cleo.emit(act());
      expect({ what, error: (bySocket as { error?: object }).error }).toMatchObject({
        what,
        error: { code: 'bad-input', path },
      });
      // A body that is no object never gets as far as the acts.
      if (typeof act() !== 'object' || act() === null) continue;
      const { status, reply } = await cleo.postAct(act());
      expect([what, status, reply.ok]).toEqual([what, 400, false]);
    }
    expect(dump(house.folder)).toEqual(before);
    expect(cleo.place).toMatchObject({ kind: seen?.kind, version: seen?.version });
  });

  test('trials of others, of other studies and of nobody don’t exist for this phone', async () => {
    await serve(withOther);
    const cleo = phone('Cleo');
    await cleo.connect();
    const before = dump(house.folder);
    for (const trial of ['01NOTRIAL', other.trial]) {
      expect(await cleo.emit(changed({ trial }))).toMatchObject({ error: { code: 'not-found', path: 'trial' } });
      expect(await cleo.postAct(changed({ trial }))).toMatchObject({ status: 404, reply: { ok: false } });
    }
    const zoe = house.phone('Zoe');
    phones.push(zoe);
    zoe.cookies.set('fh_listener', other.zoe);
    await zoe.connect();
    expect(await zoe.emit(changed({}))).toMatchObject({ error: { code: 'not-found', path: 'trial' } });
    expect(dump(house.folder)).toEqual(before);
    // Not even under the id and in the very words of the one who may.
    expect(await cleo.emit(changed({}))).toMatchObject({ ok: true });
    const after = dump(house.folder);
    expect(await zoe.emit(changed({}))).toMatchObject({ error: { code: 'not-found', path: 'trial' } });
    expect(dump(house.folder)).toEqual(after);
  });

  test('a repeated id is answered as the first time; with other content it is refused', async () => {
    await serve(withOther);
    const cleo = phone('Cleo');
    await cleo.connect();
    const act = changed({});
    const replies = await Promise.all([cleo.emit(act), cleo.emit(act), cleo.postAct(act).then(({ reply }) => reply)]);
    expect(replies.map(({ ok }) => ok)).toEqual([true, true, true]);
    const after = dump(house.folder);
    expect(after.act).toHaveLength(1);
    expect(await cleo.emit(act)).toMatchObject({ ok: true });
    expect(await cleo.emit({ ...act, kind: 'heard' })).toMatchObject({ error: { code: 'repeated-id', path: 'id' } });
    expect(await cleo.emit({ ...act, times: { sincePlaying: null, wall: 5 } })).toMatchObject({
      error: { code: 'repeated-id' },
    });
    expect(dump(house.folder)).toEqual(after);
    expect(cleo.place?.kind).toBe('listening');
  });

  test('two tabs: the second is told that the sitting has moved on, and shows where', async () => {
    await serve(withOther);
    const [one, two] = [phone('Cleo'), phone('Cleo')];
    await one.connect();
    await two.connect();
    const stale = two.whole({ kind: 'fits', presentation: 1 });
    expect(await one.act({ kind: 'fits', presentation: 1 })).toMatchObject({ ok: true });
    await two.until(({ kind }) => kind === 'listening');
    const before = dump(house.folder);
    const reply = (await two.emit(stale)) as ActReply & { error: { code: string } };
    expect(reply).toMatchObject({ ok: false, error: { code: 'wrong-place', path: 'trial' } });
    expect(reply.place?.html).toContain('data-kind="listening"');
    // As a form without script, too.
    const page = (await two.open('/listen')).page;
    const form = page.form('form[data-act]');
    const answer = await two.send(form, { kind: 'fits' });
    expect([answer.status, answer.page.problems().length]).toEqual([409, 1]);
    expect(dump(house.folder)).toEqual(before);
  });

  test('answers and words must be about the samples of the trial', async () => {
    await serve(withOther);
    const cleo = phone('Cleo');
    const ada = staff();
    await cleo.connect();
    for (const presentation of [1, 2]) {
      await cleo.act({ kind: 'fits', presentation });
      await cleo.act({ kind: 'heard', presentation });
      const swap = (await ada.look(every.study)).hands.find((hand) => hand.seat === cleo.seat || hand.takeBack)?.form;
      if (presentation === 1 && swap) await ada.act(swap);
      if (presentation === 1) await cleo.until(({ kind }) => kind === 'fitting');
    }
    await cleo.until(({ kind }) => kind === 'asking');
    const before = dump(house.folder);
    for (const value of ['none', cleo.place?.answers.includes(other.code) ? '999' : other.code, 'x']) {
      expect(await cleo.act({ kind: 'answer', answer: value })).toMatchObject({
        error: { code: 'bad-input', path: 'answer' },
      });
    }
    expect(await cleo.act({ kind: 'words', words: [] })).toMatchObject({ error: { code: 'wrong-place' } });
    expect(dump(house.folder)).toEqual(before);

    const [first = '', second = ''] = cleo.place?.answers ?? [];
    const trial = cleo.place?.trial ?? '';
    expect(await cleo.act({ kind: 'answer', answer: first })).toMatchObject({ ok: true });
    const answered = dump(house.folder);
    expect(await cleo.emit(cleo.whole({ kind: 'answer', answer: second }, trial))).toMatchObject({
      error: { code: 'already-answered', path: 'trial' },
    });
    expect(await cleo.act({ kind: 'words', words: [{ code: '999', text: 'x' }] })).toMatchObject({
      error: { code: 'bad-input', path: 'words' },
    });
    expect(dump(house.folder)).toEqual(answered);
  });

  test('messages that are no acts at all do no harm', async () => {
    await serve(withOther);
    const cleo = phone('Cleo');
    await cleo.connect();
    const before = dump(house.folder);
    cleo.shout('act', changed({ id: 'abc' }));
    cleo.shout('act');
    cleo.shout('where', 'no function');
    cleo.shout('unseal', { passphrase });
    cleo.shout('act', long(100_000));
    const alive = await new Browser(house.origin, { name: 'anyone' }).request('GET', '/health', { accept: 'json' });
    expect(alive.status).toBe(200);
    expect(dump(house.folder)).toEqual(before);
    const big = await cleo.request('POST', '/listen/act', {
      body: JSON.stringify(words([{ code: '417', text: long(70_000) }])),
      type: 'application/json',
      accept: 'json',
    });
    expect([big.status, big.json<{ error: { code: string } }>().error.code]).toEqual([413, 'too-large']);
  });
});

describe('review', () => {
  const at = async (state: State) => {
    await serve(every.folders[state]);
    return staff();
  };

  test('closing wants to be understood', async () => {
    const ada = await at('running, no session');
    await refused(ada, `${every.study}/review/close`, {}, bad('understood', 'missing'));
    await refused(ada, `${every.study}/review/close`, { understood: 'no' }, bad('understood', 'not-a-choice'));
  });

  test('a look takes nothing but itself, and none of a plan of fixed size', async () => {
    const ada = await at('running, no session');
    const path = `${every.study}/review/looks`;
    await refused(ada, path, { audience: 'home' }, bad('audience', 'unknown-field'));
    await refused(ada, path, {}, { status: 409, code: 'conflict', path: 'looks.kind' });
  });

  test('unsealing wants the passphrase', async () => {
    const ada = await at('closed');
    const path = `${every.study}/review/unseal`;
    await refused(
      ada,
      path,
      { passphrase: 'not that one' },
      { status: 403, code: 'wrong-password', path: 'passphrase' },
      'unseal',
    );
    await refused(ada, path, {}, bad('passphrase', 'missing'));
    await refused(ada, path, { passphrase: long(201) }, bad('passphrase', 'too-long'));
    await refused(ada, path, { passphrase: { $ne: '' } }, bad('passphrase', 'wrong-type'));
  });

  test('leaving something out wants something that was answered, and a reason; what was typed stays', async () => {
    const ada = await at('closed');
    const path = `${every.study}/review/data/exclude`;
    const good = { target: `sitting:${every.ids.cleo.sitting}`, reason: 'Coughed all through.', listener: '1' };
    const page = await refused(ada, path, good, bad('target'));
    // Nobody answered anything here, so there is no form to show it in again.
    expect(page.find('details form')).toBeNull();
    await refused(ada, path, { ...good, target: 'unit:x' }, bad('target'));
    await refused(ada, path, { ...good, target: ['trial:a', 'trial:b'] }, bad('target'));
    await refused(ada, path, { ...good, reason: '' }, bad('reason', 'missing'));
    await refused(ada, path, { ...good, reason: long(301) }, bad('reason', 'too-long'));
    const back = `${every.study}/review/data/take-back`;
    await refused(ada, back, { target: good.target }, { status: 409, code: 'conflict', path: 'target' });
    await refused(ada, back, {}, bad('target', 'missing'));
  });

  test('a decision wants the password, and a refusal its reason; the reason stays', async () => {
    const signer = await at('unsealed');
    const path = `${every.study}/review/sign`;
    const good = {
      decision: 'sign',
      meaning: 'approved',
      reason: 'As planned.',
      alone: 'Bo is ill.',
      findings: every.findings,
      password: ada.password,
    };
    const wrong = { status: 403, code: 'wrong-password', path: 'password' };
    const page = await refused(signer, path, { ...good, password: 'guess' }, wrong);
    expect(shown(page, 'reason') ?? page.text('textarea[name="reason"]')).toBe('As planned.');
    expect(page.html).not.toContain('guess');
    await refused(signer, path, { ...good, password: [ada.password] }, wrong);
    await refused(signer, path, { ...good, decision: 'shrug' }, bad('decision', 'not-a-choice'));
    await refused(signer, path, { ...good, decision: 'refuse', reason: '' }, bad('reason'));
    // What is signed is what was read, so it is said which.
    await refused(signer, path, { ...good, findings: '' }, bad('findings'));
  });

  test('whoever planned a study and ran its desk alone says why nobody else signs; what was typed stays', async () => {
    const signer = await at('unsealed');
    const path = `${every.study}/review/sign`;
    const { findings } = every;
    const good = { decision: 'sign', meaning: 'approved', reason: 'As planned.', findings, password: ada.password };
    await refused(signer, path, good, bad('alone'));
    const alone = await refused(signer, path, { ...good, alone: ' x ' }, bad('alone'));
    expect(shown(alone, 'alone')).toBe(' x ');
    await refused(signer, path, { ...good, alone: long(301) }, bad('alone', 'too-long'));
    const others = { ...good, alone: 'Bo is ill.', findings: findings.replaceAll(/./g, '0') };
    await refused(signer, path, others, { status: 409, code: 'conflict', path: 'decision' });
  });

  test.each([
    [
      'lock',
      'draft',
      '/lock',
      () => ({ passphrase, passphraseAgain: passphrase, deviation: unmeasured }),
      'plan-locked',
    ],
    ['open a session', 'locked', '/run/open-session', () => ({}), 'session-opened'],
    ['close', 'running, no session', '/review/close', () => ({ understood: 'yes' }), 'study-closed'],
    ['unseal', 'closed', '/review/unseal', () => ({ passphrase }), 'unsealed'],
    [
      'sign',
      'unsealed',
      '/review/sign',
      () => ({
        ...{ decision: 'sign', meaning: 'approved', reason: '', alone: 'Nobody else.' },
        ...{ findings: every.findings, password: ada.password },
      }),
      'signed',
    ],
  ] as const)(
    'two people at once: %s happens once, and the second is told',
    async (_what, state, path, fields, kind) => {
      const one = await at(state);
      const two = as(house.staff('Bo'), every.cookies.Bo ?? {});
      const tokens = [await tokenOf(one), await tokenOf(two)];
      const bothPlan = { _csrf: tokens[0] ?? '', staff: every.ids.staff.bo, role: 'designer' };
      if (state === 'draft') expect((await one.post(`${every.study}/team/give`, bothPlan)).status).toBe(303);
      const body = fields();
      const answers = await Promise.all(
        [one, two].map((browser, i) =>
          browser.post(
            every.study + path,
            { _csrf: tokens[i] ?? '', ...body, ...('password' in body && i === 1 ? { password: bo.password } : {}) },
            'json',
          ),
        ),
      );
      expect(answers.map(({ status }) => status).sort()).toEqual([path.startsWith('/run') ? 200 : 303, 409]);
      expect((dump(house.folder).ledger as { kind: string }[]).filter((entry) => entry.kind === kind)).toHaveLength(1);
    },
  );
});
