/** The two sounds of the check before the first trial, made here: nothing has to be fetched for them. */

export interface CheckSound {
  rate: number;
  channels: [Float32Array<ArrayBuffer>, Float32Array<ArrayBuffer>];
}

export type Side = 'left' | 'right';
/** In which ear each of the two tones sounds. */
export type Sides = Record<'first' | 'second', Side>;

/** A soft tone: a root mean square of so many dB below a full-scale square, well below any programme. */
const toneLevel = -34;
const toneHertz = 550;
const toneSeconds = 1.2;
const toneFade = 0.06;
/** About the level at which programme lies: 23 dB below full scale. */
export const noiseLevel = -23;
/** It starts 30 dB lower, and takes so long to get there. */
const rampSeconds = 3;
const rampDecibels = 30;

const gainOf = (decibels: number): number => 10 ** (decibels / 20);

/** In one ear only. */
export function sideTone(rate: number, side: Side): CheckSound {
  const frames = Math.round(rate * toneSeconds);
  const tone = new Float32Array(frames);
  const amplitude = gainOf(toneLevel) * Math.SQRT2;
  const edge = rate * toneFade;
  for (let at = 0; at < frames; at++) {
    const inside = Math.min(1, at / edge, (frames - 1 - at) / edge);
    tone[at] = amplitude * (0.5 - 0.5 * Math.cos(Math.PI * inside)) * Math.sin((2 * Math.PI * toneHertz * at) / rate);
  }
  const silence = new Float32Array(frames);
  return { rate, channels: side === 'left' ? [tone, silence] : [silence, tone] };
}

/**
 * Pink noise, the same in both ears, at a fixed digital level. The sum of white noises of which each is renewed half as
 * often as the one before (R. F. Voss and J. Clarke (1978), "1/f noise in music", J. Acoust. Soc. Am. 63, 258–263).
 */
export function levelNoise(rate: number, seconds: number, random: () => number): CheckSound {
  const frames = Math.round(rate * seconds);
  const rows = new Float64Array(12);
  const noise = new Float32Array(frames);
  let sum = 0;
  for (let at = 0; at < frames; at++) {
    // Row k changes with every 2^k-th sample.
    const row = Math.min(rows.length - 1, at === 0 ? rows.length - 1 : Math.clz32(1) - Math.clz32(at & -at));
    const fresh = random() * 2 - 1;
    sum += fresh - (rows[row] ?? 0);
    rows[row] = fresh;
    noise[at] = sum + (random() * 2 - 1);
  }
  const mean = noise.reduce((total, value) => total + value, 0) / frames;
  let power = 0;
  for (let at = 0; at < frames; at++) {
    const value = (noise[at] ?? 0) - mean;
    noise[at] = value;
    power += value * value;
  }
  const gain = gainOf(noiseLevel) / Math.sqrt(power / frames);
  for (let at = 0; at < frames; at++) {
    const passed = Math.min(1, at / rate / rampSeconds);
    noise[at] = (noise[at] ?? 0) * gain * gainOf(-rampDecibels * (1 - passed));
  }
  return { rate, channels: [noise, noise] };
}

/** Both ears are tried, so that a dumb one is found; which comes first is drawn. */
export function drawSides(random: (bytes: Uint8Array<ArrayBuffer>) => Uint8Array): Sides {
  const [byte = 0] = random(new Uint8Array(1));
  return byte & 1 ? { first: 'left', second: 'right' } : { first: 'right', second: 'left' };
}
