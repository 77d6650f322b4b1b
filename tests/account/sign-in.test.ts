import { createHook } from 'node:async_hooks';
import { describe, expect, it } from 'vitest';
import { verifyPassword } from '../../server/account/password';
import type { StaffId } from '../../shared/brands';
import { cookiesOf, openHouse, password } from './house';

describe('signing in', () => {
  it('leads on to the page that was asked for, for 14 days', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const browser = house.browser();
    expect((await browser.open('/account?a=1&b=2')).headers.location).toBe(
      '/account/sign-in?next=%2Faccount%3Fa%3D1%26b%3D2',
    );
    expect((await browser.open('/account/sign-in?next=%2Faccount%3Fa%3D1')).text).toContain(
      'value="/account?a&#x3D;1"',
    );
    const done = await browser.send('/account/sign-in', { name: 'ada', password, next: '/account?a=1' });
    expect([done.status, done.headers.location]).toEqual([303, '/account?a=1']);
    expect(cookiesOf(done).get('fh_staff')).toMatch(
      /^fh_staff=[\w-]{43}; Max-Age=1209600; Path=\/; Expires=[^;]+; HttpOnly; SameSite=Lax$/,
    );
    expect((await browser.open('/account/sign-in?next=/account')).headers.location).toBe('/account');
    house.wait(14 * 24 - 0.01);
    expect((await browser.open('/account')).status).toBe(200);
    house.wait(0.01);
    expect((await browser.open('/account')).status).toBe(303);
  });

  it('says the same, and does the same work, for an unknown name and a wrong password', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    let stretched = 0;
    const watch = createHook({
      init(_id, type) {
        if (type === 'SCRYPTREQUEST') stretched += 1;
      },
    }).enable();
    const answered = async (name: string) => {
      const browser = house.browser();
      const answer = await browser.send('/account/sign-in', { name, password: 'not her password' });
      expect(answer.status).toBe(403);
      expect(answer.text).toContain(`value="${name}"`);
      return answer.text.replace(/value="[^"]*"/g, '');
    };
    const wrongPassword = await answered('Ada');
    expect(stretched).toBe(1);
    expect(await answered('Eve')).toBe(wrongPassword);
    expect(stretched).toBe(2);
    watch.disable();
    expect(await verifyPassword(house.store, 'nobody' as StaffId, password)).toBe(false);
  });

  it('ends on signing out, on the server too', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const browser = await house.signedIn('Ada');
    const cookie = browser.agent.jar.getCookie('fh_staff', {
      path: '/',
      domain: '127.0.0.1',
      secure: false,
      script: false,
    });
    const left = await browser.send('/account/sign-out', {}, '/account');
    expect([left.status, left.headers.location]).toEqual([303, '/account/sign-in']);
    expect(cookiesOf(left).get('fh_staff')).toMatch(/^fh_staff=; Path=\/; Expires=Thu, 01 Jan 1970/);
    const thief = house.browser();
    const reused = await thief.open('/account').set('Cookie', `fh_staff=${cookie?.value}`);
    expect(reused.status).toBe(303);
  });

  it('is refused after too many wrong passwords for a name, from then on even with the right one', async () => {
    const house = await openHouse({ limits: { perName: { attempts: 2, minutes: 15 } } });
    await house.staff('Ada');
    await house.staff('Bo');
    const browser = house.browser();
    const _csrf = await browser.token('/account/sign-in');
    const attempt = (name: string, typed: string) => browser.post('/account/sign-in', { _csrf, name, password: typed });
    // A good attempt costs nothing.
    for (const _ of [1, 2, 3]) expect((await attempt('Ada', password)).status).toBe(303);
    expect((await attempt('Ada', 'wrong password')).status).toBe(403);
    expect((await attempt('ADA', 'wrong password')).status).toBe(403);
    const limited = await attempt('Ada', password);
    expect(limited.status).toBe(429);
    expect(Number(limited.headers['retry-after'])).toBeGreaterThan(800);
    expect(limited.text).toContain('Wait 15 minutes, then try again.');
    expect((await attempt('Bo', password)).status).toBe(303);
  });

  it('is refused after too many failures from one address, whatever the names; so are codes and links', async () => {
    const house = await openHouse({ limits: { perAddress: { attempts: 2, minutes: 1 } } });
    await house.staff('Ada');
    const browser = house.browser();
    const _csrf = await browser.token('/account/sign-in');
    for (const name of ['x', 'y']) {
      expect((await browser.post('/account/sign-in', { _csrf, name, password: 'wrong password' })).status).toBe(403);
    }
    for (const path of ['/account/sign-in', '/account/first', '/account/invited/x', '/account/reset/x']) {
      expect((await browser.post(path, { _csrf, name: 'z', password })).status).toBe(429);
    }
  });
});

describe('staff only', () => {
  it('sends people to sign in and programs a 401; a form is refused in words that say what to do', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const browser = house.browser();
    expect((await browser.open('/account')).status).toBe(303);
    const program = await browser.agent.get('/account').redirects(0);
    expect(program.status).toBe(401);
    expect(program.body.error).toMatchObject({ code: 'signed-out', path: '' });
    const form = await browser.send('/account/invite', {}, '/account/sign-in');
    expect(form.status).toBe(401);
    expect(form.text).toContain('Sign in in another tab, then reload this page: it sends again what you typed.');
  });

  it('does not believe a cookie that the server never gave', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    for (const value of ['x', 'A'.repeat(43), "' OR 1=1 --", '%00', 'A'.repeat(9000), 'a=b=c']) {
      const answer = await house.browser().open('/account').set('Cookie', `fh_staff=${value}`);
      expect([value, answer.status]).toEqual([value, 303]);
    }
  });
});
