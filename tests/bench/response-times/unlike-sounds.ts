import type { BroughtSound } from '../../../server/demo/brought-sound';
import { noise } from '../../audio/programme';
import { wavBytes } from '../../audio/wav-bytes';

const rate = 48_000;
const seconds = 3;

/** Two files that differ in all that could take another time: channels, bits, level; of one length, and nothing in common. */
export function unlikeSounds([first = '', second = '']: readonly string[]): BroughtSound[] {
  const of = (seed: number, peak: number) => noise(seed, rate * seconds, peak);
  const one = { rate, channels: [of(1, 0.1)] };
  const two = { rate, channels: [of(2, 0.3), of(3, 0.3)] };
  return [
    { prototype: first, pcm: one, name: 'first.wav', file: wavBytes({ ...one, coding: 's16' }) },
    { prototype: second, pcm: two, name: 'second.wav', file: wavBytes({ ...two, coding: 'f32' }) },
  ];
}
