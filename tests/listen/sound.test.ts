import { afterAll, expect, test } from 'vitest';
import { type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import { aPlan } from '../blinding/a-plan';
import { ledgerIn, passphrase, removeFolders } from '../support/driver';
import { playTo } from '../support/panel-house';
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
  // Nothing is handed over.
  expect((await desk.look(study)).hands).toEqual([]);
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
