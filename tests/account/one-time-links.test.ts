import { describe, expect, it } from 'vitest';
import { createInvitation, createReset } from '../../server/account/tokens';
import { listStaff } from '../../server/store/staff';
import { Refusal } from '../../server/web/errors';
import { openHouse, password, storedBytes } from './house';

const stranger = 'A'.repeat(43);

describe('an invitation', () => {
  it('is made on the page of people, shown once with a QR code, and makes one account', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const ada = await house.signedIn('Ada');
    const shown = await ada.send('/account/invite', {}, '/account');
    const link = /value="(http[^"]+\/account\/invited\/[\w-]{43})"/.exec(shown.text)?.[1] ?? '';
    expect(link.startsWith(`${house.origin}/account/invited/`)).toBe(true);
    expect(shown.text).toContain('<svg xmlns="http://www.w3.org/2000/svg"');
    expect(shown.text).not.toMatch(/\sstyle=/);
    expect(shown.text).toContain('5 March 2026');
    const path = new URL(link).pathname;
    const token = path.split('/').at(-1) ?? '';
    expect((await ada.open('/account')).text).not.toContain(token);
    expect(storedBytes(house.folder)).not.toContain(token);

    house.wait(1);
    const bo = house.browser();
    // Looking at it, as previews of links in messages do, doesn't use it up.
    for (const _ of [1, 2]) expect((await bo.open(path)).status).toBe(200);
    const made = await bo.send(path, { name: 'Bo', password });
    expect([made.status, made.headers.location]).toEqual([303, '/']);
    expect((await bo.open('/account')).text).toContain('Bo <span class="fine">you</span>');

    const again = house.browser();
    expect((await again.open(path)).status).toBe(410);
    const form = await again.token('/account/sign-in');
    expect((await again.post(path, { _csrf: form, name: 'Cleo', password })).status).toBe(410);
    expect((await listStaff(house.store.db)).map(({ name }) => name)).toEqual(['Ada', 'Bo']);
  });

  it('makes one account when two use it at the same time', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const { link } = await createInvitation(house.store, '', house.parts.now);
    const answers = await Promise.all(['Bo', 'Cleo'].map((name) => house.browser().send(link, { name, password })));
    expect(answers.map(({ status }) => status).sort()).toEqual([303, 410]);
    expect(await listStaff(house.store.db)).toHaveLength(2);
  });

  it('survives a name that is taken, in whatever case', async () => {
    const house = await openHouse();
    await house.staff('Ada Quist');
    const { link } = await createInvitation(house.store, '', house.parts.now);
    const taken = await house.browser().send(link, { name: 'ADA  quist', password });
    expect(taken.status).toBe(400);
    expect(taken.text).toContain('Somebody here has this name already.');
    expect((await house.browser().send(link, { name: 'Ada R. Quist', password })).status).toBe(303);
  });

  it('ends after 72 hours, to the second', async () => {
    const house = await openHouse();
    const { link } = await createInvitation(house.store, '', house.parts.now);
    house.wait(72 - 1 / 3600);
    expect((await house.browser().open(link)).status).toBe(200);
    const late = house.browser();
    const form = await late.token(link);
    house.wait(1 / 3600);
    expect((await late.open(link)).status).toBe(410);
    expect((await late.post(link, { _csrf: form, name: 'Bo', password })).status).toBe(410);
    expect(await listStaff(house.store.db)).toHaveLength(0);
  });

  it('says the same of a token that was never made, is no token, or is for something else', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const reset = await createReset(house.store, 'Ada', '', house.parts.now);
    const browser = house.browser();
    for (const token of [stranger, 'x', '%20', 'a'.repeat(3000), reset.token]) {
      const answer = await browser.open(`/account/invited/${token}`);
      expect([token, answer.status]).toEqual([token, 410]);
      expect(answer.text).toContain('This link no longer works');
    }
    expect((await browser.open('/account/invited/%zz')).status).toBe(400);
  });

  it('starts with the address of the local network when the page was opened as localhost', async () => {
    const house = await openHouse({ lanUrl: 'http://192.0.2.7:3000' });
    await house.staff('Ada');
    const shown = await (await house.signedIn('Ada')).send('/account/invite', {}, '/account');
    expect(shown.text).toContain('value="http://192.0.2.7:3000/account/invited/');
  });

  it('starts with the public address if there is one', async () => {
    const house = await openHouse({ publicUrl: 'https://panel.example/' });
    const token = await createInvitation(house.store, 'https://panel.example', house.parts.now);
    expect(token.link).toBe(`https://panel.example/account/invited/${token.token}`);
    await house.staff('Ada');
    const shown = await (await house.signedIn('Ada')).send('/account/invite', {}, '/account');
    expect(shown.text).toContain('value="https://panel.example/account/invited/');
  });
});

describe('a link for a new password', () => {
  it('sets it, ends every session of that person and no other, and works once', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    await house.staff('Bo');
    const [laptop, tablet, bo] = [
      await house.signedIn('Ada'),
      await house.signedIn('Ada'),
      await house.signedIn('Bo'),
    ] as const;
    const older = await createReset(house.store, 'Ada', '', house.parts.now);
    const { link, token } = await createReset(house.store, ' aDA ', '', house.parts.now);
    expect(storedBytes(house.folder)).not.toContain(token);
    const browser = house.browser();
    expect((await browser.open(link)).text).toContain('New password for Ada');
    const done = await browser.send(link, { password: 'another good password' });
    expect([done.status, done.headers.location]).toEqual([303, '/']);

    expect((await browser.open('/account')).status).toBe(200);
    expect((await bo.open('/account')).status).toBe(200);
    for (const old of [laptop, tablet]) {
      expect((await old.open('/account')).headers.location).toBe('/account/sign-in?next=%2Faccount');
    }
    for (const used of [link, older.link]) expect((await house.browser().open(used)).status).toBe(410);
    expect((await house.browser().send('/account/sign-in', { name: 'Ada', password })).status).toBe(403);
  });

  it('ends after 72 hours', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const { link } = await createReset(house.store, 'Ada', '', house.parts.now);
    house.wait(72);
    expect((await house.browser().open(link)).status).toBe(410);
  });

  it('is not made for a name that nobody has', async () => {
    const house = await openHouse();
    const refused = await createReset(house.store, 'Nobody', '', house.parts.now).catch((error: unknown) => error);
    expect(refused).toBeInstanceOf(Refusal);
    expect(refused).toMatchObject({ code: 'not-found', path: 'name', got: 'Nobody' });
  });
});
