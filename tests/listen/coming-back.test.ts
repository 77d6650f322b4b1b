import { afterAll, expect, test } from 'vitest';
import { comingMinute } from '../../server/time-words';
import { words } from '../../shared/words/en';
import { dump, ledgerIn, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** Sittings over weeks, as a listener meets them at the door. */

afterAll(removeFolders);

const twice = { sessions: 2, gapHours: 18, spanDays: 3 };
const start = Date.parse('2026-03-02T09:00:00Z');
const inHours = (hours: number) => new Date(start + hours * 3_600_000);

test('too early: a kind page with the time, a coded refusal, and nothing is written; then on another phone', async () => {
  const { house, desk, study, come, sit } = await panelHouse(twice);
  const first = await desk.openSession(study);
  const heron = await come(first.joinCode, 'Heron');
  await sit(heron, 'Heron');
  const from = comingMinute(inHours(18));
  expect(heron.place?.html).toContain(`Your next sitting can begin from ${from}.`);
  heron.hangUp();
  await desk.closeSession(study);

  house.wait(17.5);
  const second = await desk.openSession(study);
  const other = house.phone('Heron’s other phone');
  const before = dump(house.folder);
  const early = await other.open(new URL(heron.link).pathname);
  expect(early.path).toBe(`/j/${second.joinCode}`);
  expect(early.status).toBe(200);
  expect(early.page.text('h1')).toBe('Not yet, Heron');
  expect(early.page.text('.when')).toBe(from);
  expect(early.page.find('form[action^="/j"]')).toBeNull();

  const csrf = (await other.open('/j')).page.form('main').fields._csrf ?? '';
  const fields = { _csrf: csrf, seen: 'no' };
  const refused = await other.post(`/j/${second.joinCode}`, fields, 'json');
  expect(refused.status).toBe(409);
  expect(refused.json<{ error: object }>().error).toMatchObject({
    code: 'too-early',
    path: 'session',
    allowed: `from ${inHours(18).toISOString()}`,
    message: expect.stringContaining(from),
  });
  const sent = await other.post(`/j/${second.joinCode}`, fields);
  expect(sent.status).toBe(409);
  expect(sent.page.text('.when')).toBe(from);
  expect(dump(house.folder)).toEqual(before);

  house.wait(0.5);
  expect((await other.open(new URL(heron.link).pathname)).page.text('main')).toContain('You are here as Heron.');
  await come(second.joinCode, 'Heron', other);
  await sit(other, 'Heron');
  other.hangUp();
  const seated = ledgerIn(house.folder).filter(({ kind }) => kind === 'seated');
  expect(seated.map(({ body }) => [body.number, body.sessionNumber])).toEqual([
    [1, 1],
    [2, 2],
  ]);
  expect(new Set(seated.map(({ body }) => body.listener)).size).toBe(1);

  // With all sittings had there is nothing more to come, however long anybody waits.
  await desk.closeSession(study);
  house.wait(20);
  const third = await desk.openSession(study);
  const done = await other.open(`/j/${third.joinCode}`);
  expect(done.page.text('h1')).toBe('You have had all your sittings');
  expect((await other.post(`/j/${third.joinCode}`, fields, 'json')).json()).toMatchObject({
    error: { code: 'conflict', path: 'session', message: expect.stringContaining('all your sittings') },
  });
  await house.close();
});

test('past the span nobody comes in, and is told why', async () => {
  const { house, desk, study, whole } = await panelHouse(twice);
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.closeSession(study);
  house.wait(3 * 24 + 1);
  const { joinCode } = await desk.openSession(study);
  const page = await heron.open(`/j/${joinCode}`);
  expect(page.page.text('h1')).toBe('No more sittings for you here');
  expect(page.page.text('main')).toContain(comingMinute(inHours(3 * 24)));
  const csrf = (await heron.open('/j')).page.form('main').fields._csrf ?? '';
  const refused = await heron.post(`/j/${joinCode}`, { _csrf: csrf, seen: 'no' }, 'json');
  expect(refused.json()).toMatchObject({ error: { code: 'conflict', path: 'session' } });
  // The door stands open for whoever is new.
  expect((await house.phone('Otter').join(joinCode, { alias: 'Otter' })).path).toBe('/listen/link');
  await house.close();
});

test('made up for, a missed session costs nothing; lost, the study has no more sessions than planned', async () => {
  for (const missed of ['make-up', 'lost'] as const) {
    const { house, desk, study, whole } = await panelHouse({ sessions: 2, gapHours: 0, missed });
    const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
    await desk.closeSession(study);
    house.wait(24);
    await whole((await desk.openSession(study)).joinCode, 'Otter');
    await desk.closeSession(study);
    house.wait(24);
    const run = await desk.open(`${study}/run`);
    if (missed === 'make-up') {
      await whole((await desk.openSession(study)).joinCode, 'Heron', heron);
      expect(ledgerIn(house.folder).filter(({ kind }) => kind === 'seated')).toHaveLength(3);
    } else {
      expect(run.page.find('#open-session')).toBeNull();
      expect(run.page.text('.desk-main')).toContain('what was missed is lost');
      const { _csrf = '' } = (await desk.open('/account')).page.form('form[action="/account/sign-out"]').fields;
      const refused = await desk.post(`${study}/run/open-session`, { _csrf }, 'json');
      expect(refused.status).toBe(409);
      expect(refused.json()).toMatchObject({ error: { code: 'conflict', path: 'session' } });
    }
    await house.close();
  }
});

test('whoever is not due at the seat any more, or not yet, is refused there, and nothing is written', async () => {
  const { house, desk, study, come, whole } = await panelHouse(twice);
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.closeSession(study);
  house.wait(20);
  await come((await desk.openSession(study)).joinCode, 'Heron', heron);
  heron.hangUp();
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  const refused = async () => {
    const before = dump(house.folder);
    const answer = await desk.post(seat.action, seat.fields, 'json');
    expect(answer.status).toBe(409);
    expect(dump(house.folder)).toEqual(before);
    return answer.json<{ error: object }>().error;
  };
  // The clock of the laptop was ahead, and is put right.
  house.wait(-3);
  expect(await refused()).toMatchObject({
    code: 'too-early',
    path: 'sitting',
    allowed: `from ${inHours(18).toISOString()}`,
    message: expect.stringMatching(
      new RegExp(`^Heron can’t sit before ${comingMinute(inHours(18))}: .* at least 18 hours`),
    ),
  });
  // Or the desk let Heron wait until the span was over.
  house.wait(3 + 3 * 24);
  expect(await refused()).toMatchObject({
    code: 'conflict',
    path: 'sitting',
    allowed: `until ${inHours(3 * 24).toISOString()}`,
    message: expect.stringMatching(
      new RegExp(`^Heron had to begin by ${comingMinute(inHours(3 * 24))}: .* 3 days .* Turn them away, so that`),
    ),
  });
  // At the last moment it is still possible.
  house.wait(-20);
  expect((await desk.tryAct(seat)).status).toBe(200);
  expect(ledgerIn(house.folder).filter(({ kind }) => kind === 'seated')).toHaveLength(2);
  await house.close();
});

test('who is turned away since it is too late for a seat reads so, and why at the door', async () => {
  const { house, desk, study, come, whole } = await panelHouse(twice);
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.closeSession(study);
  house.wait(20);
  const { joinCode } = await desk.openSession(study);
  await come(joinCode, 'Heron', heron);
  house.wait(3 * 24);
  const away = (await desk.open(`${study}/run`)).page.form('form[action$="/run/seat-out"]');
  await desk.act(away);
  expect((await heron.until(({ kind }) => kind === 'out')).html).toContain(words['out.unseated.title']);
  heron.hangUp();
  const before = dump(house.folder);
  expect((await heron.open(`/j/${joinCode}`)).page.text('h1')).toBe(words['next.over.title']);
  const csrf = (await heron.open('/j')).page.form('main').fields._csrf ?? '';
  const refused = await heron.post(`/j/${joinCode}`, { _csrf: csrf, seen: 'no' });
  expect([refused.status, refused.page.text('h1')]).toEqual([409, words['next.over.title']]);
  expect(dump(house.folder)).toEqual(before);
  await house.close();
});

test('a session in which nobody sat was not held: nobody has lost it, and nobody missed it', async () => {
  const { house, desk, study, whole } = await panelHouse({ sessions: 2, gapHours: 0, missed: 'lost' });
  const due = async () => (await desk.open(`${study}/run`)).page.text('.due');
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.closeSession(study);
  house.wait(1);
  for (let empty = 0; empty < 3; empty++) {
    // Somebody comes, and is turned away.
    await house.phone('Wren').join((await desk.openSession(study)).joinCode, { alias: `Wren ${empty}` });
    await desk.closeSession(study);
    expect(await due()).toMatch(/^Heron Listeners Wren/);
    house.wait(1);
  }
  await whole((await desk.openSession(study)).joinCode, 'Heron', heron);
  await desk.closeSession(study);
  expect((await desk.open(`${study}/run`)).page.text('.desk-main')).toContain('All 2 sessions of this study were held');
  await house.close();
});

test('nobody sits twice within the rest, whenever they try', async () => {
  const { house, desk, study, whole } = await panelHouse({ sessions: 5, gapHours: 5, spanDays: 0 });
  const heron = house.phone('Heron');
  let now = 0;
  const sat: number[] = [];
  for (const wait of [0, 1, 3, 0.5, 0.5, 4.999, 0.001, 2, 7]) {
    house.wait(wait);
    now += wait;
    const { joinCode } = await desk.openSession(study);
    if ((await heron.open(`/j/${joinCode}`)).page.find('form[action^="/j/"]')) {
      await whole(joinCode, 'Heron', heron);
      sat.push(now);
    }
    await desk.closeSession(study);
  }
  expect(sat).toEqual([0, 5, 10, 19].map((hours) => expect.closeTo(hours, 6)));
  await house.close();
});

test('whoever stops early rests from then on, not from the end of the session', async () => {
  const { house, desk, study, come } = await panelHouse(twice);
  const first = await desk.openSession(study);
  const heron = await come(first.joinCode, 'Heron');
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  await heron.stop();
  heron.hangUp();
  house.wait(6);
  await desk.closeSession(study);
  house.wait(12.5);
  const second = await desk.openSession(study);
  const back = await house.phone('Heron again').open(new URL(heron.link).pathname);
  expect([back.path, back.page.text('h1')]).not.toEqual([`/j/${second.joinCode}`, 'Not yet, Heron']);
  await house.close();
});
