import { describe, expect, it } from 'vitest';
import { createInvitation, createReset } from '../../server/account/tokens';
import { listStaff } from '../../server/store/staff';
import { openHouse, password } from './house';

const long = (length: number) => 'a'.repeat(length);

/** Field, what came, the code that a program gets, and what a person reads. */
const wrong: [field: string, value: unknown, code: string, words: string][] = [
  ['name', undefined, 'missing', 'Name is missing.'],
  ['name', null, 'missing', 'Name is missing.'],
  ['name', '', 'missing', 'Name is missing.'],
  ['name', '   ', 'missing', 'Name is missing.'],
  ['name', long(61), 'too-long', 'Name must have at most 60 characters; it has 61.'],
  ['name', ['Bo', 'Cleo'], 'repeated', 'Name was sent more than once.'],
  ['name', 7, 'wrong-type', 'Name must be text; a number came.'],
  ['name', { first: 'Bo' }, 'wrong-type', 'Name must be text; a group of fields came.'],
  ['name', 'Bo\u202e', 'not-valid', 'Name must have a letter or digit, and no signs that can’t be seen.'],
  ['name', '\u0000', 'not-valid', 'Name must have a letter or digit, and no signs that can’t be seen.'],
  ['name', '...', 'not-valid', 'Name must have a letter or digit, and no signs that can’t be seen.'],
  ['password', undefined, 'missing', 'Password is missing.'],
  ['password', '', 'missing', 'Password is missing.'],
  ['password', 'ninechars', 'too-short', 'Password must have at least 10 characters; it has 9.'],
  ['password', long(201), 'too-long', 'Password must have at most 200 characters; it has 201.'],
  ['password', ['long enough one', 'long enough two'], 'repeated', 'Password was sent more than once.'],
  ['password', true, 'wrong-type', 'Password must be text; yes or no came.'],
  ['colour', 'red', 'unknown-field', 'This form has no field “colour”.'],
  ['__proto__', 'x', 'unknown-field', 'This form has no field “__proto__”.'],
];

describe('bad input', () => {
  it.each(wrong)('%s = %j is refused as %s, by every form that has the field', async (field, value, code, words) => {
    const house = await openHouse();
    const browser = house.browser();
    const good: Record<string, string> = { code: house.parts.firstCode.code ?? '', name: 'Bo', password };
    // Written by hand, since an object literal can't hold a field called __proto__.
    const body = (fields: string[]) => {
      const came = value === undefined ? [] : [`${JSON.stringify(field)}:${JSON.stringify(value)}`];
      return `{${[...came, ...fields.map((name) => `"${name}":${JSON.stringify(good[name])}`)].join(',')}}`;
    };
    const { link } = await createInvitation(house.store, '', house.parts.now);
    const forms: [string, string[]][] = [
      ['/account/first', ['code', 'name', 'password']],
      [link, ['name', 'password']],
    ];
    for (const [path, fields] of forms) {
      const answer = await browser.json(path, body(fields.filter((name) => name !== field)), path);
      expect([path, answer.status, answer.body.error?.code]).toEqual([path, 400, 'bad-input']);
      expect(answer.body.problems).toEqual([expect.objectContaining({ code, path: field, message: words })]);
      expect(answer.text).not.toContain(password);
    }
    expect(await listStaff(house.store.db)).toHaveLength(0);
    if (field === 'name') return;
    await house.staff('Ada');
    const reset = (await createReset(house.store, 'Ada', '', house.parts.now)).link;
    const answer = await browser.json(reset, body(field === 'password' ? [] : ['password']), reset);
    expect(answer.body.problems?.[0]).toMatchObject({ code, path: field, message: words });
  });

  it('takes the longest and shortest that is allowed, counted as people count', async () => {
    const house = await openHouse();
    const code = house.parts.firstCode.code ?? '';
    const name = '𝒜'.repeat(60);
    expect((await house.browser().send('/account/first', { code, name, password: '🎧'.repeat(10) })).status).toBe(303);
    for (const [person, typed] of [
      ['B', long(10)],
      ['C', long(200)],
    ] as const) {
      const { link } = await createInvitation(house.store, '', house.parts.now);
      expect((await house.browser().send(link, { name: person, password: typed })).status).toBe(303);
      expect((await house.browser().send('/account/sign-in', { name: person, password: typed })).status).toBe(303);
    }
    expect((await listStaff(house.store.db)).map((row) => row.name).sort()).toEqual(['B', 'C', name]);
  });

  it('is shown beside its field, with a link from the summary and what was typed', async () => {
    const house = await openHouse();
    const answer = await house.browser().send('/account/first', { code: '', name: '"><script>', password: 'short' });
    expect(answer.status).toBe(400);
    expect(answer.text).toContain('<a href="#code">Code from the terminal is missing.</a>');
    expect(answer.text).toContain('<a href="#password">Password must have at least 10 characters; it has 5.</a>');
    expect(answer.text).toContain('id="password-error"');
    expect(answer.text).toContain('value="&quot;&gt;&lt;script&gt;"');
    expect(answer.text).not.toContain('<script>');
  });

  it('does not break the form for signing in or out', async () => {
    const house = await openHouse();
    await house.staff('Ada');
    const browser = house.browser();
    const _csrf = await browser.token('/account/sign-in');
    const repeated = { _csrf, name: ['Ada', 'Bo'], password: [password, password], next: ['/a', '//evil.example'] };
    expect((await browser.post('/account/sign-in', repeated)).status).toBe(400);
    const tooLong = { _csrf, name: long(20_000), password: long(20_000) };
    expect((await browser.post('/account/sign-in', tooLong)).status).toBe(403);
    const empty = await browser.post('/account/sign-in', { _csrf });
    expect(empty.text).toContain('<a href="#name">Name is missing.</a>');
    expect((await browser.post('/account/sign-out', { _csrf, everywhere: 'yes' })).status).toBe(400);
    expect((await browser.post('/account/sign-in?next[]=1', { _csrf, name: 'Ada', password })).status).toBe(303);
  });
});
