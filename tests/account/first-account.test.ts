import { describe, expect, it } from 'vitest';
import { createFirstCode } from '../../server/account/first-code';
import { listStaff } from '../../server/store/staff';
import { cookiesOf, openHouse, password, storedBytes } from './house';

const name = 'Ada Quist';

describe('the first account', () => {
  it('is asked for, made with the code of the terminal, signed in, and then the page is gone', async () => {
    const house = await openHouse();
    const browser = house.browser();
    const code = house.parts.firstCode.code ?? '';
    expect(code).toMatch(/^[ACDEFGHJKMNPQRTUVWXY34679]{4}(-[ACDEFGHJKMNPQRTUVWXY34679]{4}){2}$/);

    expect((await browser.open('/account/sign-in')).headers.location).toBe('/account/first');
    expect((await browser.open('/account')).headers.location).toBe('/account/first');
    const page = await browser.open('/account/first');
    expect(page.status).toBe(200);
    expect(page.text).not.toContain(code);

    const made = await browser.send('/account/first', { code, name: `  ${name.replace(' ', '   ')} `, password });
    expect([made.status, made.headers.location]).toEqual([303, '/']);
    expect((await browser.open('/account')).text).toContain(name);

    const other = house.browser();
    expect((await other.open('/account/first')).status).toBe(410);
    const token = await other.token('/account/sign-in');
    expect((await other.post('/account/first', { _csrf: token, code, name: 'Bo', password })).status).toBe(410);
    expect(await listStaff(house.store.db)).toHaveLength(1);
    // A start with an account makes no code.
    expect((await createFirstCode(house.store)).code).toBeNull();
  });

  it('takes the code in small letters and without its dashes', async () => {
    const house = await openHouse();
    const { matches, code } = house.parts.firstCode;
    expect(matches(` ${(code ?? '').toLowerCase().replaceAll('-', ' ')}`)).toBe(true);
    expect(matches((code ?? '').replaceAll('-', ''))).toBe(true);
    expect(matches('')).toBe(false);
    expect(matches(`${code}X`)).toBe(false);
  });

  it('is made once when two send the form at the same time', async () => {
    const house = await openHouse();
    const code = house.parts.firstCode.code ?? '';
    const answers = await Promise.all(
      ['Ada', 'Bo', 'Cleo'].map((person) => house.browser().send('/account/first', { code, name: person, password })),
    );
    expect(answers.map(({ status }) => status).sort()).toEqual([303, 410, 410]);
    expect(await listStaff(house.store.db)).toHaveLength(1);
  });

  it('refuses a wrong code, keeps the name that was typed and never shows the password again', async () => {
    const house = await openHouse();
    const answer = await house.browser().send('/account/first', { code: 'AAAA-AAAA-AAAA', name, password });
    expect(answer.status).toBe(400);
    expect(answer.text).toContain('This is not the code in the terminal.');
    expect(answer.text).toContain(`value="${name}"`);
    expect(answer.text).not.toContain(password);
    expect(await listStaff(house.store.db)).toHaveLength(0);
  });

  it('stores neither the password nor the session as they are', async () => {
    const house = await openHouse();
    const code = house.parts.firstCode.code ?? '';
    const made = await house.browser().send('/account/first', { code, name, password });
    const session = /fh_staff=([^;]+)/.exec(cookiesOf(made).get('fh_staff') ?? '')?.[1] ?? '';
    expect(session).toHaveLength(43);
    const stored = storedBytes(house.folder);
    expect(stored).toContain(name);
    for (const secret of [password, session, code]) expect(stored).not.toContain(secret);
    const [row] = await listStaff(house.store.db);
    expect(row?.password).toMatch(/^scrypt\$32768\$8\$3\$[\w-]{22}\$[\w-]{43}$/);
  });
});
