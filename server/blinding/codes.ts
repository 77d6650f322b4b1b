import { type Random, shuffled } from '../../protocols/random';
import type { Code } from '../../shared/brands';

/** Digits that still read as a number when the carrier is turned round. */
const turnable = /^[01689]+$/;

/**
 * Whether three digits make a good blinding code: no leading zero, no round hundred, no run (123, 987), nothing
 * thrice the same, and nothing that turned upside down reads as another code.
 */
export function isGoodCode(digits: string): boolean {
  if (!/^[1-9]\d\d$/.test(digits) || digits.endsWith('00')) return false;
  const [a = 0, b = 0, c = 0] = [...digits].map(Number);
  if (a === b && b === c) return false;
  if (b - a === c - b && Math.abs(b - a) === 1) return false;
  return !turnable.test(digits);
}

/** Every good code, ascending. */
export const goodCodes: readonly Code[] = Array.from({ length: 1000 }, (_, i) => String(i).padStart(3, '0'))
  .filter(isGoodCode)
  .map((digits) => digits as Code);

/** All good codes in random order: a session takes them from the front, what is added later from the back. */
export function shuffledCodes(random: Random): Code[] {
  return shuffled(goodCodes, random);
}
