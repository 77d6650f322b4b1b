import { randomBytes, randomInt } from 'node:crypto';
import { ulid } from 'ulid';

/** A new id: sorts by time, says nothing else. */
export const newId = <Id extends string>(at: Date): Id => ulid(at.getTime(), () => randomInt(2 ** 32) / 2 ** 32) as Id;

const letters = 'BCDFGHJKMNPQRSTVWXZ';

/** A short code for a session, to be typed on a phone: letters that aren't mistaken for others and form no words. */
export function newJoinCode(): string {
  return Array.from({ length: 5 }, () => letters[randomInt(letters.length)]).join('');
}

/** A short id for a part of a plan, with nothing of its name in it. */
export const newPartId = (): string => randomBytes(9).toString('base64url').replace(/[-_]/g, 'x');
