import { scryptSync } from 'node:crypto';
import { expect, test } from 'vitest';
import { hashPassword, passwordFits } from '../../server/account/password';

/** Stretched in full, as on a real server; the other tests stretch for less (`tests/support/cheap-scrypt.ts`). */

test('what is stored was stretched as far as it says, over a salt of its own', async () => {
  const [stored, again] = await Promise.all([hashPassword('caf\u00e9 au lait'), hashPassword('caf\u00e9 au lait')]);
  const [kind, n, r, p, salt = '', key = ''] = stored.split('$');
  expect([kind, n, r, p]).toEqual(['scrypt', '32768', '8', '3']);
  const cost = { N: 32_768, r: 8, p: 3, maxmem: 2 ** 28 };
  const worked = scryptSync('caf\u00e9 au lait', Buffer.from(salt, 'base64url'), 32, cost);
  expect(key).toBe(worked.toString('base64url'));
  expect(again?.split('$')[4]).not.toBe(salt);
  expect(again?.split('$')[5]).not.toBe(key);
});

test('the right one fits, however it was composed; a wrong one, and nobody’s, do not', async () => {
  const stored = await hashPassword('caf\u00e9 au lait');
  const fits = (password: string, hash: string | null = stored) => passwordFits(password, hash);
  expect(
    await Promise.all([fits('caf\u00e9 au lait'), fits('cafe\u0301 au lait'), fits('cafe au lait'), fits('x', null)]),
  ).toEqual([true, true, false, false]);
});
