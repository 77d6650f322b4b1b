import { describe, expect, it } from 'vitest';
import { cookiesOf, openHouse } from '../account/house';

const policy =
  "default-src 'none';script-src 'self';style-src 'self';img-src 'self' data:;font-src 'self';" +
  "connect-src 'self' ws: wss:;form-action 'self';frame-ancestors 'none';base-uri 'none'";

describe('headers', () => {
  it('are the same strict ones on pages, errors, files and refusals', async () => {
    const house = await openHouse();
    const browser = house.browser();
    for (const answer of [
      await browser.open('/account/first'),
      await browser.open('/nowhere'),
      await browser.open('/client/page.js'),
      await browser.post('/account/first', {}),
    ]) {
      expect(answer.headers['content-security-policy']).toBe(policy);
      expect(answer.headers['referrer-policy']).toBe('same-origin');
      expect(answer.headers['x-content-type-options']).toBe('nosniff');
      expect(answer.headers['x-frame-options']).toBe('DENY');
      for (const absent of ['x-powered-by', 'etag', 'strict-transport-security', 'cross-origin-opener-policy']) {
        expect(answer.headers[absent]).toBeUndefined();
      }
    }
  });

  it('keep pages out of every cache', async () => {
    const browser = (await openHouse()).browser();
    for (const path of ['/account/first', '/account/sign-in', '/nowhere']) {
      expect((await browser.open(path)).headers['cache-control']).toBe('no-store');
    }
  });

  it('insist on TLS only where there is TLS and a name of its own', async () => {
    const named = await openHouse({ tls: true, publicUrl: 'https://panel.example' });
    const page = await named.browser().open('/account/first');
    expect(page.headers['strict-transport-security']).toBe('max-age=2592000');
    expect(page.headers['cross-origin-opener-policy']).toBe('same-origin');
    expect(page.headers['content-security-policy']).toBe(policy);
    const unnamed = await (await openHouse({ tls: true })).browser().open('/account/first');
    expect(unnamed.headers['strict-transport-security']).toBeUndefined();
  });
});

describe('cookies', () => {
  it('can’t be read by scripts, don’t come with other sites’ forms, and are secure over TLS', async () => {
    const plain = cookiesOf(await (await openHouse()).browser().open('/account/first')).get('fh_visit');
    expect(plain).toMatch(/^fh_visit=[\w-]{43}; Max-Age=5184000; Path=\/; Expires=[^;]+; HttpOnly; SameSite=Lax$/);
    const tls = cookiesOf(await (await openHouse({ tls: true })).browser().open('/account/first')).get('fh_visit');
    expect(tls).toMatch(/; HttpOnly; Secure; SameSite=Lax$/);
  });

  it('are set for pages with forms only, and once', async () => {
    const browser = (await openHouse()).browser();
    expect(cookiesOf(await browser.agent.get('/nowhere')).size).toBe(0);
    expect(cookiesOf(await browser.open('/client/page.js')).size).toBe(0);
    expect(cookiesOf(await browser.open('/account/first')).size).toBe(1);
    expect(cookiesOf(await browser.open('/account/first')).size).toBe(0);
  });
});
