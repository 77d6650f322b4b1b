import { expect, test } from 'vitest';
import { isSettled, readReply } from '../../../client/phone/act-reply';
import type { ActReply } from '../../../shared/wire';

const place = { version: 3, html: '<section></section>' };
const refused = (code: string): ActReply => ({ ok: false, error: { code, message: 'No.', path: '' }, place: null });

test('reads what the server sends', () => {
  expect(readReply({ ok: true, place })).toEqual({ ok: true, place });
  expect(readReply({ ok: true, place, apart: true })).toEqual({ ok: true, place, apart: true });
  expect(readReply({ ok: true, place, apart: 'x' })).toEqual({ ok: true, place });
  expect(readReply({ ok: false, error: { code: 'wrong-place', message: 'No.' }, place })).toEqual({
    ok: false,
    error: { code: 'wrong-place', message: 'No.', path: '' },
    place,
  });
});

test.each([
  null,
  'ok',
  {},
  { ok: true },
  { ok: true, place: { version: '3', html: '' } },
  { ok: false },
  { ok: false, error: 'no' },
  { error: { code: 'forbidden', message: 'No.' } },
])('%j acknowledges nothing', (value) => {
  expect(readReply(value)).toBeNull();
});

test('busy and unavailable pass, every other answer is final', () => {
  expect(isSettled({ ok: true, place })).toBe(true);
  expect(isSettled(refused('wrong-place'))).toBe(true);
  expect(isSettled(refused('busy'))).toBe(false);
  expect(isSettled(refused('unavailable'))).toBe(false);
  expect(isSettled('unreachable')).toBe(false);
  expect(isSettled('stale')).toBe(false);
});
