import { afterAll, expect, test } from 'vitest';
import { textOf } from '../../server/demo/page';
import { type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import { aPlan } from '../blinding/a-plan';
import { ledgerIn, passphrase, removeFolders } from '../support/driver';
import { playTo } from '../support/panel-house';
import { stepAt } from '../support/phone-steps';
import { soundHouse } from '../support/sound-house';

/** What phones fetch and say where the page plays. */

afterAll(removeFolders);

type SoundHouse = Awaited<ReturnType<typeof soundHouse>>;

async function seated({ house, desk, study }: SoundHouse, alias = 'Cleo'): Promise<PhoneBrowser> {
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone(alias);
  await phone.join(joinCode, { alias });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const form = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
  if (!form) throw new Error(`${alias} is not ready.`);
  await desk.act(form);
  return phone;
}

const renders = { playback: 'renders', method: 'abx', trials: 2, excerpts: 2 } as const;

test('renders: a check, then cards; each file is one of what was brought, and X is no copy of its twin', async () => {
  const all = await soundHouse(aPlan(renders));
  const { house, desk, study, recognise } = all;
  const phone = await seated(all);
  expect((await phone.until(({ kind }) => kind !== 'unseated')).kind).toBe('sound-check');
  await phone.checkSound();
  const place = await phone.until(({ kind }) => kind === 'comparing');
  expect(place.cards).toHaveLength(3);
  expect(new Set(place.cards).size).toBe(3);
  const sounds = await phone.fetchSounds(place);
  const heard = sounds.map(({ wav }) => recognise(wav));
  expect(new Set(heard.slice(0, 2))).toEqual(new Set(['proto-a', 'proto-b']));
  expect(heard.slice(0, 2)).toContain(heard[2]);
  const twin = sounds[heard.indexOf(heard[2] as string)]?.wav as Buffer;
  expect(twin.length).toBe(sounds[2]?.wav.length);
  expect(twin.equals(sounds[2]?.wav as Buffer)).toBe(false);
  // Nothing is handed over; and by this plan a call is noted, and the answer marked.
  expect((await desk.look(study)).hands).toEqual([]);
  await stepAt(phone, place);
  const scored = await phone.until(({ kind, practice }) => kind === 'comparing' && !practice);
  const interrupted = await phone.act({ kind: 'interrupted', presentation: 1, what: 'hidden' });
  expect([interrupted.ok, phone.place?.trial]).toEqual([true, scored.trial]);
  await playTo(desk, study, phone, 'finished');
  phone.hangUp();
  const answers = ledgerIn(house.folder).filter(({ kind }) => kind === 'answered');
  expect(answers.filter(({ body }) => !body.practice)).toHaveLength(2);
  for (const { body } of answers) expect(body.sound).toMatchObject({ heardMs: [3400, 3400, 3400] });
  await house.close();
});

test('what the server never made was not heard, whatever a page says; nor is an answer lost by it', async () => {
  const all = await soundHouse(aPlan(renders));
  const { house } = all;
  const phone = await seated(all);
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  const place = await phone.until(({ kind }) => kind === 'comparing');
  const answer = phone.whole({ kind: 'answer', answer: place.answers[0] ?? '', ...reportOf(place) });
  expect(await phone.emit(answer)).toMatchObject({
    ok: false,
    error: { code: 'bad-input', path: 'sound', message: expect.stringContaining('never fetched') },
  });
  await phone.askForSounds(place);
  // Too short, or of too few samples: its field says so.
  const short = { heardMs: [3000, 2999, 3000], rate: null, switches: 2 };
  expect(await phone.act({ kind: 'answer', answer: place.answers[0] ?? '', sound: short })).toMatchObject({
    ok: false,
    error: { path: 'sound.heardMs', message: expect.stringContaining('sample 2') },
  });
  expect(await phone.emit(answer)).toMatchObject({ ok: true });
  phone.hangUp();
  await house.close();
});

test('before the first sound: swapped ears, one ear for both, wireless and loudspeakers are stopped, by field', async () => {
  const all = await soundHouse(aPlan(renders));
  const phone = await seated(all);
  await phone.until(({ kind }) => kind === 'sound-check');
  const refused = async (otherwise: Record<string, string | string[]>) => {
    const answer = await phone.checkSound(otherwise);
    return [answer.status, ...answer.page.all('.error').map(textOf)];
  };
  const swapped = { first_heard: 'left', second_heard: 'right' };
  expect(await refused(swapped)).toEqual([400, expect.stringContaining('Left and right are swapped')]);
  expect(await refused({ first_heard: 'left' })).toEqual([400, expect.stringContaining('on the other side')]);
  expect(await refused({ connection: 'wireless' })).toEqual([400, expect.stringContaining('needs a cable')]);
  expect(await refused({ connection: 'speakers' })).toEqual([400, expect.stringContaining('from a loudspeaker')]);
  expect(await refused({ checks: ['silent'] })).toEqual([400, expect.stringContaining('See to all of these')]);
  const checks = () => ledgerIn(all.house.folder).filter(({ kind }) => kind === 'sound-checked');
  expect(checks()).toEqual([]);
  await phone.checkSound();
  expect(checks().map(({ body }) => body.connection)).toEqual(['wired']);
  phone.hangUp();
  await all.house.close();
});

test('another phone is checked anew before it plays; what was heard is answered first', async () => {
  const all = await soundHouse(aPlan({ playback: 'seat-player', trials: 1, handling: 'solo' }));
  const { house, desk, study } = all;
  await desk.openSheet(study, passphrase);
  const phone = await seated(all);
  const moved = async (from: PhoneBrowser): Promise<PhoneBrowser> => {
    const other = house.phone('another');
    const { page } = await other.open(new URL(phone.link).pathname);
    await other.send(page.form('main form[action="/listen/here"]'));
    await other.connect();
    from.hangUp();
    return other;
  };
  await playTo(desk, study, phone, 'listening');
  const { trial } = await phone.until(({ kind }) => kind === 'listening');
  const second = await moved(phone);
  expect(second.place?.kind).toBe('sound-check');
  const fetching = () => second.request('GET', `/listen/sounds?trial=${trial}&presentation=1`, { accept: 'json' });
  expect((await fetching()).body).toContain('check before the first sound');
  await second.checkSound();
  expect([second.place?.kind, (await fetching()).status]).toEqual(['listening', 200]);
  await playTo(desk, study, second, 'words');
  await stepAt(second, second.place);
  await playTo(desk, study, second, 'asking');
  const third = await moved(second);
  expect(third.place?.kind).toBe('asking');
  third.hangUp();
  const checks = ledgerIn(house.folder).filter(({ kind }) => kind === 'sound-checked');
  expect(checks.map(({ body }) => Object.keys(body).sort().join())).toEqual([
    'connection,sitting',
    'connection,sitting',
  ]);
  await house.close();
});

test('an address is its listener’s alone, for as long as its trial is under way, and nothing on the way keeps what it gives', async () => {
  const all = await soundHouse(aPlan(renders));
  const { house } = all;
  const phone = await seated(all);
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  const place = await phone.until(({ kind }) => kind === 'comparing');
  const { manifest = '' } = place.player ?? {};
  const first = await phone.askForSounds(place);
  // Whoever asks again gets the same files.
  expect(await phone.askForSounds(place)).toEqual(first);
  const [{ url = '' } = {}] = first.sounds;
  for (const path of [manifest, url]) {
    const { status, headers } = await phone.request('GET', path);
    expect([status, headers.get('cache-control'), headers.get('etag'), headers.get('last-modified')]).toEqual([
      ...[200, 'no-store', null, null],
    ]);
  }
  const other = house.phone('Dov');
  await other.join((await all.desk.look(all.study)).joinCode, { alias: 'Dov' });
  for (const path of [manifest, url]) expect((await other.request('GET', path)).status).toBe(404);
  expect((await house.phone('nobody').request('GET', url, { accept: 'json' })).status).toBe(401);
  expect((await phone.request('GET', `/listen/sound/${'A'.repeat(43)}`)).status).toBe(404);
  await phone.act({ kind: 'answer', answer: place.answers[0] ?? '', ...reportOf(place) });
  const next = await phone.until(({ kind, trial }) => kind === 'comparing' && trial !== place.trial);
  for (const path of [manifest, url]) expect((await phone.request('GET', path)).status).toBe(409);
  const again = await phone.askForSounds(next);
  expect(first.sounds.map((one) => one.url)).not.toContain(again.sounds[0]?.url);
  phone.hangUp();
  await house.close();
});

test('a call while it plays: by the plan the trial comes again, under other codes', async () => {
  const all = await soundHouse(aPlan({ ...renders, trials: 1, sound: { interruption: 'void' } }));
  const { house, desk, study } = all;
  const phone = await seated(all);
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  // Practice only notes it.
  const practice = await phone.until(({ kind }) => kind === 'comparing');
  expect(await phone.act({ kind: 'interrupted', presentation: 1, what: 'suspended' })).toMatchObject({ ok: true });
  expect(phone.place?.trial).toBe(practice.trial);
  await stepAt(phone, practice);
  const place = await phone.until(({ kind, practice }) => kind === 'comparing' && !practice);
  await phone.fetchSounds(place);
  await phone.act({ kind: 'interrupted', presentation: 1, what: 'suspended' });
  const again = await phone.until(({ kind, trial }) => kind === 'comparing' && trial !== place.trial);
  expect(again.cards.filter((code) => place.cards.includes(code))).toEqual([]);
  await playTo(desk, study, phone, 'finished');
  phone.hangUp();
  const kinds = ledgerIn(house.folder).map(({ kind }) => kind);
  expect(kinds.filter((kind) => kind === 'sound-interrupted')).toHaveLength(2);
  expect(kinds.filter((kind) => kind === 'trial-voided')).toHaveLength(1);
  expect(kinds.filter((kind) => kind === 'sitting-finished')).toHaveLength(1);
  await house.close();
});

test('a first impression can’t be had twice: interrupted, it is marked, even where the plan voids', async () => {
  const plan = aPlan({ playback: 'renders', method: 'first-impressions', sound: { interruption: 'void' } });
  const all = await soundHouse(plan);
  const { house, desk, study } = all;
  const phone = await seated(all);
  await playTo(desk, study, phone, 'starting');
  const { trial, player } = await phone.until(({ kind }) => kind === 'starting');
  await stepAt(phone, phone.place);
  expect(phone.place?.kind).toBe('rating');
  // Nor is it to be fetched once more by now.
  expect(phone.place?.player?.manifest).toBe(player?.manifest);
  expect((await phone.request('GET', player?.manifest ?? '', { accept: 'json' })).status).toBe(409);
  expect(await phone.act({ kind: 'interrupted', presentation: 1, what: 'hidden' })).toMatchObject({ ok: true });
  expect([phone.place?.kind, phone.place?.trial]).toEqual(['rating', trial]);
  await playTo(desk, study, phone, 'finished');
  phone.hangUp();
  const ledger = ledgerIn(house.folder);
  expect(ledger.map(({ kind }) => kind)).not.toContain('trial-voided');
  expect(ledger.find(({ kind }) => kind === 'sound-interrupted')?.body).toMatchObject({ trial, what: 'hidden' });
  // Each sample was heard once.
  expect(ledger.filter(({ kind }) => kind === 'started')).toHaveLength(plan.prototypes.length);
  await house.close();
});

test('a page that is loaded anew within a first impression plays no more, and its ratings are taken and marked', async () => {
  const all = await soundHouse(aPlan({ playback: 'renders', method: 'first-impressions' }));
  const { house, desk, study } = all;
  const phone = await seated(all);
  await playTo(desk, study, phone, 'starting');
  await stepAt(phone, phone.place);
  const place = await phone.until(({ kind }) => kind === 'rating');
  const touched = { sincePlaying: null, wall: phone.wall() };
  const ratings = place.scales.map(({ scale, values }) => ({ scale, value: values[1] ?? 0, touched }));
  // Without a word of what was heard, nothing is taken from a page that was there all the time.
  expect(await phone.act({ kind: 'rate', ratings })).toMatchObject({ ok: false, error: { path: 'sound.heardMs' } });
  await phone.act({ kind: 'resumed', presentation: place.presentation });
  expect(await phone.act({ kind: 'rate', ratings })).toMatchObject({ ok: true });
  await playTo(desk, study, phone, 'finished');
  phone.hangUp();
  const about = ledgerIn(house.folder).filter(({ body }) => body.trial === place.trial);
  expect(about.map(({ kind }) => kind).slice(-3)).toEqual(['started', 'resumed', 'answered']);
  expect(about.at(-1)?.body).not.toHaveProperty('sound');
  await house.close();
});

test('first impressions of renders: a sitting is played through', async () => {
  const all = await soundHouse(aPlan({ playback: 'renders', method: 'first-impressions' }));
  const phone = await seated(all);
  await playTo(all.desk, all.study, phone, 'finished');
  phone.hangUp();
  await all.house.close();
});

test.each(['paired-preference', 'first-impressions'] as const)(
  'with units and the page as their player, a sitting of %s fetches a file for each',
  async (method) => {
    const all = await soundHouse(aPlan({ playback: 'seat-player', method, trials: 1, handling: 'two-person' }));
    const { house, desk, study } = all;
    const preparer = house.staff('preparer');
    await preparer.acceptInvitation(await desk.invite(), { name: 'Bo', password: 'another long password' });
    await preparer.openSheet(study, passphrase);
    const phone = await seated(all);
    await playTo(desk, study, phone, 'finished');
    const made = ledgerIn(house.folder).filter(({ kind }) => kind === 'sound-made');
    expect(made.length).toBeGreaterThan(1);
    for (const { body } of made) expect(body.presentations).toHaveLength(1);
    phone.hangUp();
    await house.close();
  },
);
