import { afterAll, expect, test } from 'vitest';
import { type Arrival, Browser } from '../../server/demo/browser';
import { type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import type { PlaceSeen } from '../../server/demo/phone-place';
import { aPlan } from '../blinding/a-plan';
import { dump, removeFolders } from '../support/driver';
import { soundHouse } from '../support/sound-house';
import { leaks } from './leaks';
import { plant } from './plant';
import { routesOf } from './routes-of';

/**
 * Somebody who wants to know what plays, and tries every address of a sound there is or was: with nothing, with another
 * listener's link, from another browser, at the desk, and as the listener it was made for, but later.
 */

afterAll(removeFolders);

const operator = { name: 'Op', password: 'a password of one’s own' };
const names = ['canary-of-the-first-render', 'canary-of-the-second-render'];

async function atWork() {
  const traffic: Arrival[] = [];
  const all = await soundHouse(
    aPlan({
      playback: 'renders',
      method: 'abx',
      trials: 3,
      excerpts: 2,
      names,
      audiences: [['home', 2]],
      sound: { interruption: 'void' },
    }),
  );
  const { house, desk, study } = all;
  const watch = (arrival: Arrival) => void traffic.push(arrival);
  const staff = house.staff(operator.name);
  await staff.acceptInvitation(await desk.invite(), operator);
  const { joinCode } = await desk.openSession(study);
  const phones: PhoneBrowser[] = [];
  for (const alias of ['Cleo', 'Dov']) {
    const phone = house.phone(alias);
    phones.push(phone);
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    const form = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
    if (!form) throw new Error(`${alias} is not ready.`);
    await desk.act(form);
  }
  const [cleo, dov] = phones as [PhoneBrowser, PhoneBrowser];
  const like = (name: string, { cookies }: Pick<Browser, 'cookies'>, kept: readonly string[]): Browser => {
    const browser = new Browser(house.origin, { name, watch });
    for (const cookie of kept) browser.cookies.set(cookie, cookies.get(cookie) ?? '');
    return browser;
  };
  const people = () => ({
    nobody: like('nobody', cleo, []),
    'another listener': like('another listener', dov, ['fh_visit', 'fh_listener']),
    'another phone of the listener': like('another phone of the listener', cleo, ['fh_listener']),
    'the operator': like('the operator', staff, ['fh_visit', 'fh_staff']),
    'the listener': like('the listener', cleo, ['fh_visit', 'fh_listener']),
  });
  const files = dump(house.folder).study_sound as { sha256: string; name: string }[];
  expect(files).toHaveLength(4);
  const secrets = [
    ...names,
    'proto-a',
    'proto-b',
    'generated-noise',
    ...new Set(files.flatMap(({ sha256 }) => [sha256, sha256.slice(0, 16)])),
  ];
  return { ...all, traffic, cleo, dov, people, secrets };
}

interface Addresses {
  manifest: string;
  sounds: string[];
}

const addressesAt = async (phone: PhoneBrowser, place: PlaceSeen): Promise<Addresses> => ({
  manifest: place.player?.manifest ?? '',
  sounds: (await phone.askForSounds(place)).sounds.map(({ url }) => url),
});

/** How all of these addresses are answered: alike for all samples, or it would tell. */
async function answersOf(browser: Browser, { manifest, sounds }: Addresses): Promise<(number | string)[]> {
  const told = await browser.request('GET', manifest, { accept: 'json' });
  const files = [];
  for (const sound of sounds) files.push(await browser.request('GET', sound, { accept: 'json' }));
  const said = files.map(({ status, headers, body }) => {
    const plain = [...headers].filter(([name]) => name !== 'date');
    return JSON.stringify([status, plain, status === 200 ? body.slice(0, 44) : body]);
  });
  expect(new Set(said).size).toBe(1);
  return [told.status, files[0]?.status ?? 0];
}

const comparing = (phone: PhoneBrowser, not = ''): Promise<PlaceSeen> =>
  phone.until(({ kind, trial }) => kind === 'comparing' && trial !== not);

test('what a sound was made of is told to nobody, and the sound itself to nobody but its listener, in its trial', async () => {
  const { house, desk, study, cleo, dov, people, traffic, secrets } = await atWork();
  for (const phone of [cleo, dov]) {
    await phone.until(({ kind }) => kind === 'sound-check');
    await phone.checkSound();
  }
  const practice = await comparing(cleo);
  expect(practice.practice).toBe(true);
  await cleo.askForSounds(practice);
  await cleo.act({ kind: 'answer', answer: practice.answers[0] ?? '', ...reportOf(practice) });
  const first = await comparing(cleo, practice.trial);
  const now = await addressesAt(cleo, first);
  const stranger = `/listen/sound/${'A'.repeat(43)}`;
  const all = async (addresses: Addresses) => {
    const told: Record<string, (number | string)[]> = {};
    for (const [name, browser] of Object.entries(people())) told[name] = await answersOf(browser, addresses);
    return told;
  };
  const shut = {
    nobody: [401, 401],
    'another listener': [404, 404],
    'another phone of the listener': [409, 409],
    'the operator': [401, 401],
  };
  expect(await all(now)).toEqual({ ...shut, 'the listener': [200, 200] });
  // Whether there is such a sound, for somebody else, is nobody's business.
  const other = people()['another listener'];
  expect((await other.request('GET', now.sounds[0] ?? '', { accept: 'json' })).body).toBe(
    (await other.request('GET', stranger, { accept: 'json' })).body,
  );

  const later = { ...shut, 'the listener': [409, 409] };
  await desk.press(study, '#pause');
  expect(await all(now)).toEqual(later);
  await desk.press(study, '#resume');
  // A trial that was disturbed is put again later, and what it played is not to be had any more.
  await cleo.act({ kind: 'plays', presentation: 1 });
  await cleo.act({ kind: 'interrupted', presentation: 1, what: 'hidden' });
  const second = await comparing(cleo, first.trial);
  expect(await all(now)).toEqual(later);
  const next = await addressesAt(cleo, second);
  expect(next.sounds.filter((sound) => now.sounds.includes(sound))).toEqual([]);
  // Nor what was answered.
  await cleo.act({ kind: 'answer', answer: second.answers[0] ?? '', ...reportOf(second) });
  const third = await comparing(cleo, second.trial);
  expect(await all(next)).toEqual(later);
  const last = await addressesAt(cleo, third);
  // It would have been worth something.
  expect(await answersOf(people()['the listener'], last)).toEqual([200, 200]);
  await desk.closeSession(study);
  expect(await all(last)).toEqual(later);

  // By every other route of the rooms of listeners and desk, too, with what a sound is found by.
  const [token = ''] = last.sounds.map((sound) => sound.split('/').at(-1));
  for (const browser of Object.values(people())) {
    for (const { path } of routesOf(house).filter(({ method }) => method === 'GET')) {
      const address = path.replace(':study', study.replace('/studies/', '')).replace(/:\w+/g, token);
      if (/^\/(?:listen|j|client)\b|\/run\b/.test(address)) {
        await browser.request('GET', `${address}?trial=${first.trial}&presentation=1`, { accept: 'json' });
      }
    }
  }
  for (const phone of [cleo, dov]) phone.hangUp();
  expect(traffic.length).toBeGreaterThan(150);
  expect(traffic.filter(({ status }) => status !== null && status >= 500)).toEqual([]);
  expect(leaks(traffic, secrets)).toEqual([]);
  expect(leaks([{ to: 'log', of: 'log', status: null, headers: '', body: house.log.join('') }], secrets)).toEqual([]);
  await house.close();
});

test('a planted leak is found: the name of a file in a header, its hash in the manifest, the prototype in a refusal', async () => {
  const { house, cleo, people, traffic, secrets } = await atWork();
  await cleo.until(({ kind }) => kind === 'sound-check');
  await cleo.checkSound();
  const addresses = await addressesAt(cleo, await comparing(cleo));
  plant(house, (body, response) => {
    const { url = '' } = response.req;
    if (url.startsWith('/listen/sound/') && response.statusCode === 200) {
      response.setHeader('content-disposition', 'inline; filename="generated-noise-1-1.wav"');
    }
    if (url.startsWith('/listen/sounds')) return body.replace(/"sha256":"\w+"/, `"sha256":"${secrets.at(-1)}"`);
    return response.statusCode < 400 ? body : body.replace('"error"', '"proto-a"');
  });
  await answersOf(people()['the listener'], addresses);
  await answersOf(people()['another listener'], addresses);
  const found = leaks(traffic, secrets);
  expect(found.filter((leak) => leak.includes('/listen/sounds'))).toHaveLength(1);
  expect(found.filter((leak) => /the listener: \S+ \/listen\/sound\//.test(leak)).length).toBeGreaterThan(0);
  cleo.hangUp();
  await house.close();
});
