import { whole } from './check';

/**
 * A reproducible source of random numbers for resampling and simulation. It is no secret: whoever knows the seed knows
 * every number, so nothing that must stay blind may be drawn from it.
 *
 * The generator is xoshiro128** with 128 bits of state (Blackman & Vigna 2021, "Scrambled linear pseudorandom number
 * generators", ACM Transactions on Mathematical Software 47(4), art. 36). The four words of state come from a 32-bit
 * seed by a counter in steps of 0x9E3779B9 whose values pass the finalizer of MurmurHash3 (Appleby 2011, public domain;
 * constants from memory), in the manner of SplitMix (Steele, Lea & Flood 2014); a text is first hashed by FNV-1a to 32
 * bits (Fowler, Noll & Vo; constants from memory). The same seed gives the same numbers on every machine.
 *
 * @param seed a whole number from 0 to 2^32 − 1, or a text
 * @returns `uniform()`: a number in [0, 1) with 53 random bits; `below(n)`: a whole number from 0 to n − 1, each equally
 *   likely, for n from 1 to 2^32; `word()`: 32 random bits
 */
export interface SeededRandom {
  uniform(): number;
  below(n: number): number;
  word(): number;
}

export function seededRandom(seed: number | string): SeededRandom {
  let counter = typeof seed === 'string' ? hashed(seed) : seed >>> 0;
  const next = () => {
    counter = (counter + 0x9e3779b9) >>> 0;
    let z = counter;
    z = Math.imul(z ^ (z >>> 16), 0x85ebca6b);
    z = Math.imul(z ^ (z >>> 13), 0xc2b2ae35);
    return (z ^ (z >>> 16)) >>> 0;
  };
  return generatorFrom(next(), next(), next(), next());
}

/** The generator at a given state, not all zero: for checks against published output. */
export function generatorFrom(a: number, b: number, c: number, d: number): SeededRandom {
  let s0 = a | 0;
  let s1 = b | 0;
  let s2 = c | 0;
  let s3 = d | 0;
  const word = () => {
    const five = Math.imul(s1, 5);
    const result = Math.imul((five << 7) | (five >>> 25), 9) >>> 0;
    const t = s1 << 9;
    s2 ^= s0;
    s3 ^= s1;
    s1 ^= s2;
    s0 ^= s3;
    s2 ^= t;
    s3 = (s3 << 11) | (s3 >>> 21);
    return result;
  };
  // What `below` was last asked for, since most callers ask for the same over and over.
  let last = 1;
  let fair = 0x100000000;
  return {
    word,
    uniform: () => ((word() >>> 5) * 0x4000000 + (word() >>> 6)) / 0x20000000000000,
    below: (n) => {
      if (n !== last) {
        last = whole(n, 'n', { min: 1, max: 0x100000000 });
        // Words of the last, incomplete block would favour the small numbers: draw again.
        fair = 0x100000000 - (0x100000000 % n);
      }
      let drawn = word();
      while (drawn >= fair) drawn = word();
      return drawn % n;
    },
  };
}

/** FNV-1a over the UTF-8 bytes: offset basis 2166136261, prime 16777619. */
function hashed(text: string): number {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return hash >>> 0;
}
