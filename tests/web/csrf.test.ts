import { describe, expect, it } from 'vitest';
import { originAllowed } from '../../server/web/csrf';
import { openHouse } from '../account/house';

const page = '/account/first';
const fields = { code: 'x', name: 'x', password: 'x' };

describe('forms', () => {
  it('are taken with the token of the visitor’s own pages, in the field or in the header', async () => {
    const browser = (await openHouse()).browser();
    const answer = await browser.send(page, fields);
    // Past the check, and refused for what is in it.
    expect(answer.status).toBe(400);
    expect((await browser.json(page, fields, page)).body.error.code).toBe('bad-input');
  });

  it.each(['missing', 'wrong', 'of another visitor', 'without the cookie', 'repeated', 'of another server'])(
    'are refused with a token that is %s',
    async (how) => {
      const house = await openHouse();
      const browser = house.browser();
      const token = await browser.token(page);
      const other = await house.browser().token(page);
      const foreign = await (await openHouse()).browser().token(page);
      const answers = {
        missing: () => browser.post(page, fields),
        wrong: () =>
          browser.post(page, { ...fields, _csrf: `${token.slice(0, -1)}${token.endsWith('A') ? 'E' : 'A'}` }),
        'of another visitor': () => browser.post(page, { ...fields, _csrf: other }),
        'without the cookie': () => house.browser().post(page, { ...fields, _csrf: token }),
        repeated: () => browser.post(page, { ...fields, _csrf: [token, token] }),
        'of another server': () => browser.post(page, { ...fields, _csrf: foreign }),
      };
      const answer = await answers[how as keyof typeof answers]();
      expect(answer.status).toBe(403);
      expect(answer.text).toContain('Code: csrf');
      expect(answer.text).toContain('This page was open too long.');
    },
  );

  it.each(['http://evil.example', 'http://127.0.0.1:1', 'http://127.0.0.1', 'null', 'file://', 'nonsense', ''])(
    'are refused from the origin %j, though the token is right',
    async (origin) => {
      const browser = (await openHouse()).browser();
      const _csrf = await browser.token(page);
      const answer = await browser.post(page, { ...fields, _csrf }).set('Origin', origin);
      expect(answer.status).toBe(403);
      expect(answer.text).toContain('Code: origin');
    },
  );

  it.each(['cross-site', 'same-site'])('are refused when the browser says that they are %s', async (site) => {
    const browser = (await openHouse()).browser();
    const _csrf = await browser.token(page);
    const answer = await browser
      .post(page, { ...fields, _csrf })
      .set('Sec-Fetch-Site', site)
      .unset('Origin');
    expect(answer.text).toContain('Code: origin');
  });

  it('may come without an origin, but then the token still counts', async () => {
    const browser = (await openHouse()).browser();
    const _csrf = await browser.token(page);
    expect((await browser.post(page, { ...fields, _csrf }).unset('Origin')).status).toBe(400);
    expect((await browser.post(page, fields).unset('Origin')).status).toBe(403);
  });

  it('are checked whatever the verb and the address', async () => {
    const { agent } = (await openHouse()).browser();
    for (const verb of ['post', 'put', 'patch', 'delete'] as const) {
      const answer = await agent[verb]('/nowhere').send({ a: 1 });
      expect(answer.body.error).toEqual(expect.objectContaining({ code: 'csrf', path: '_csrf' }));
    }
    expect((await agent.get('/nowhere')).status).toBe(404);
  });
});

describe('originAllowed, for forms and sockets', () => {
  const host = '192.0.2.7:3000';
  it.each([
    [{ host }, true],
    [{ host, origin: `http://${host}` }, true],
    [{ host: 'Panel.Example', origin: 'https://panel.example' }, true],
    [{ host: 'panel.example:443', origin: 'https://panel.example' }, true],
    [{ host: '[2001:db8::1]:3000', origin: 'http://[2001:db8::1]:3000' }, true],
    [{ host, origin: `http://${host}`, 'sec-fetch-site': 'same-origin' }, true],
    [{ host, origin: 'http://192.0.2.7' }, false],
    [{ host, origin: 'http://192.0.2.7:3001' }, false],
    [{ host, origin: `http://${host}.evil.example` }, false],
    [{ host, origin: `http://evil.example/${host}` }, false],
    [{ host, origin: `ftp://${host}` }, false],
    [{ host, origin: 'null' }, false],
    [{ origin: `http://${host}` }, false],
    [{ host: 'a b', origin: 'http://a' }, false],
    [{ host, 'sec-fetch-site': 'cross-site' }, false],
  ])('%j is %s', (headers, allowed) => {
    expect(originAllowed(headers)).toBe(allowed);
  });

  it('knows the public address when a proxy stands before the server', () => {
    const behind = { host: 'localhost:3000', origin: 'https://panel.example' };
    expect(originAllowed(behind)).toBe(false);
    expect(originAllowed(behind, 'https://panel.example/')).toBe(true);
    expect(originAllowed({ ...behind, origin: 'http://panel.example' }, 'https://panel.example')).toBe(false);
  });
});
