import { afterAll, expect, test } from 'vitest';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { words } from '../../shared/words/en';
import { dump, ledgerIn, removeFolders } from '../support/driver';
import { panelHouse, playTo } from '../support/panel-house';

/** One active device: a sitting under way goes on in one browser at a time. */

afterAll(removeFolders);

const byLink = (phone: PhoneBrowser, link: string) => phone.open(new URL(link).pathname);
const goOnHere = async (phone: PhoneBrowser) => {
  const { page } = await phone.open('/listen');
  return phone.send(page.form('form[action="/listen/here"]'));
};
const changes = (folder: string) => ledgerIn(folder).filter(({ kind }) => kind === 'device-changed');

test('a second phone asks before it takes over; the first is told at once, and what it still sends is kept', async () => {
  const { house, desk, study, come } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  const old = await come(joinCode, 'Heron');
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Nobody is ready.');
  await desk.act(seat);
  await playTo(desk, study, old, 'fitting');

  const other = house.phone('Heron’s other phone');
  expect((await byLink(other, old.link)).page.text('h1')).toBe(words['elsewhere.title']);
  await other.connect();
  expect(other.place?.kind).toBe('elsewhere');
  // Whoever only looks has taken nothing over: no trial reaches the other phone, and the first goes on.
  expect(other.place?.html).not.toMatch(/class="code"|name="trial"/);
  expect(await old.where()).toMatchObject({ kind: 'fitting' });
  expect(changes(house.folder)).toEqual([]);

  const taken = await goOnHere(other);
  expect(taken.path).toBe('/listen');
  await other.until(({ kind }) => kind === 'fitting');
  await old.until(({ kind }) => kind === 'elsewhere');
  const [change] = changes(house.folder);
  expect(change?.body).toEqual({ listener: expect.any(String) });
  expect(change?.actor).toBe(`listener:${change?.body.listener}`);

  // Still in the old phone's queue: it fits the place, so it counts, and both are told where they are.
  const late = old.whole({ kind: 'fits', presentation: 1 }, other.place?.trial);
  const reply = await old.emit(late);
  expect(reply.ok).toBe(true);
  expect(reply.place?.html).toContain(words['elsewhere.title']);
  await other.until(({ kind }) => kind === 'listening');
  expect(await old.emit(late)).toMatchObject({ ok: true });
  expect((await old.postAct({ ...late, id: 'a'.repeat(24) })).reply).toMatchObject({
    ok: false,
    error: { code: 'wrong-place' },
    place: { html: expect.stringContaining(words['elsewhere.title']) },
  });

  // And back again.
  await goOnHere(old);
  await other.until(({ kind }) => kind === 'elsewhere');
  await playTo(desk, study, old, 'finished');
  // With nothing under way any more, every phone shows the same.
  await other.until(({ kind }) => kind === 'finished');
  expect(changes(house.folder)).toHaveLength(2);
  old.hangUp();
  other.hangUp();
  await house.close();
});

test('no check-in form on a phone that is not the one', async () => {
  const { house, desk, study } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  const first = house.phone('Heron');
  await first.join(joinCode, { alias: 'Heron' });
  const other = house.phone('Heron’s other phone');
  expect((await byLink(other, first.link)).page.text('h1')).toBe(words['elsewhere.title']);
  // The door leads there, too.
  expect((await other.open(`/j/${joinCode}`)).page.text('h1')).toBe(words['elsewhere.title']);
  expect((await goOnHere(other)).page.text('h1')).toBe(words['check-in.title']);
  expect((await first.open('/listen')).page.text('h1')).toBe(words['elsewhere.title']);
  await other.checkIn();
  expect((await first.open('/listen')).page.text('h1')).toBe(words['elsewhere.title']);
  expect((await other.open('/listen')).page.text('h1')).toBe(words['consent.title']);
  await house.close();
});

test('between sittings a new phone simply takes over', async () => {
  const { house, desk, study, come, sit, whole } = await panelHouse({ sessions: 2, gapHours: 0 });
  const old = await whole((await desk.openSession(study)).joinCode, 'Heron');
  const other = house.phone('Heron’s other phone');
  expect((await byLink(other, old.link)).page.text('h1')).toBe(words['finished.title']);
  await desk.closeSession(study);
  house.wait(1);
  const { joinCode } = await desk.openSession(study);
  await come(joinCode, 'Heron', other);
  expect((await old.open('/listen')).page.text('h1')).toBe(words['elsewhere.title']);
  await sit(other, 'Heron');
  other.hangUp();
  expect(changes(house.folder)).toEqual([]);
  // Nothing that would let a reader of the file into the browser is stored.
  const stored = JSON.stringify(dump(house.folder));
  for (const phone of [old, other]) expect(stored).not.toContain(phone.cookies.get('fh_visit') ?? 'no cookie');
  await house.close();
});

test('who may not go on here', async () => {
  const { house, desk, study, whole } = await panelHouse();
  const stranger = house.phone('Stranger');
  const { _csrf = '' } = (await stranger.open('/j')).page.form('main').fields;
  expect((await stranger.post('/listen/here', { _csrf }, 'json')).json()).toMatchObject({
    error: { code: 'signed-out' },
  });
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  const token = (await heron.open('/j')).page.form('main').fields._csrf ?? '';
  const before = dump(house.folder);
  // Which browser it is, is for the server to see and not for a form to say.
  const forged = await heron.post('/listen/here', { _csrf: token, device: 'f'.repeat(64), mood: 'high' }, 'json');
  expect(forged.json()).toMatchObject({ error: { code: 'bad-input', path: 'mood' } });
  expect(dump(house.folder)).toEqual(before);
  await desk.closeSession(study);
  expect((await heron.post('/listen/here', { _csrf: token }, 'json')).json()).toMatchObject({
    error: { code: 'wrong-state', path: 'session' },
  });
  await house.close();
});
