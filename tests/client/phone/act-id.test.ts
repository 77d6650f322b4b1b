import { webcrypto } from 'node:crypto';
import { expect, test } from 'vitest';
import { newActId } from '../../../client/phone/act-id';
import { actSchema } from '../../../shared/wire';

const fill = (bytes: Uint8Array<ArrayBuffer>) => webcrypto.getRandomValues(bytes);

test('an id is what the wire takes', () => {
  const act = { kind: 'heard', trial: 't', presentation: 1, times: { sincePlaying: null, wall: 1 } };
  expect(actSchema.safeParse({ ...act, id: newActId(fill) }).success).toBe(true);
  expect(actSchema.safeParse({ ...act, id: newActId(fill).toUpperCase() }).success).toBe(false);
});

test('no two ids are the same', () => {
  expect(new Set(Array.from({ length: 2000 }, () => newActId(fill))).size).toBe(2000);
});

test('bytes that would make some signs likelier are passed over', () => {
  const rounds = [252, 255, 0, 35, 36, 251];
  let call = 0;
  const id = newActId((bytes) => bytes.fill(rounds[call++ % rounds.length] ?? 0));
  expect(id).toBe('a'.repeat(26));
  expect(call).toBe(3);
});
