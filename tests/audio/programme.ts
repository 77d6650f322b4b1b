import type { Pcm } from '../../server/audio/pcm';

/** Uniform numbers from 0 up to 1 by a seed (Marsaglia 2003, “Xorshift RNGs”, J. Stat. Softw. 8(14), 32 bits: 13, 17, 5). */
export function seeded(seed: number): () => number {
  let state = (seed * 2654435761 + 88675123) >>> 0 || 1;
  const next = () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    state >>>= 0;
    return state / 2 ** 32;
  };
  for (let i = 0; i < 20; i++) next();
  return next;
}

export function noise(seed: number, frames: number, peak = 0.25): Float32Array {
  const next = seeded(seed);
  return Float32Array.from({ length: frames }, () => (2 * next() - 1) * peak);
}

/** Something like music: noise that falls by some 3 dB an octave (three leaky sums), in beats that die away. */
export function programme(seed: number, seconds: number, rate = 48000, channels = 2): Pcm {
  const frames = Math.round(seconds * rate);
  const beat = Math.round(0.31 * rate);
  return {
    rate,
    channels: Array.from({ length: channels }, (_, channel) => {
      const next = seeded(seed * 8 + channel);
      let [slow, middle, fast] = [0, 0, 0];
      return Float32Array.from({ length: frames }, (_, i) => {
        const white = 2 * next() - 1;
        slow = 0.998 * slow + 0.03 * white;
        middle = 0.95 * middle + 0.05 * white;
        fast = 0.5 * fast + 0.05 * white;
        return 0.3 * (slow + middle + fast) * (0.25 + Math.exp((-4 * (i % beat)) / beat));
      });
    }),
  };
}

export function sine(frequency: number, amplitude: number, seconds: number, rate = 48000, channels = 2): Pcm {
  const one = Float32Array.from({ length: Math.round(seconds * rate) }, (_, i) => {
    return amplitude * Math.sin((2 * Math.PI * frequency * i) / rate);
  });
  return { rate, channels: Array.from({ length: channels }, () => one) };
}

export interface Tuning {
  kind: 'peak' | 'low-shelf' | 'high-shelf';
  frequency: number;
  gainDb: number;
  q: number;
}

/** A minimum-phase filter as tunings are made of (Bristow-Johnson, “Cookbook formulae for audio EQ biquad filter coefficients”). */
export function tuned(pcm: Pcm, { kind, frequency, gainDb, q }: Tuning): Pcm {
  const a = 10 ** (gainDb / 40);
  const w = (2 * Math.PI * frequency) / pcm.rate;
  const cos = Math.cos(w);
  const alpha = Math.sin(w) / (2 * q);
  const root = 2 * Math.sqrt(a) * alpha;
  const side = kind === 'low-shelf' ? 1 : -1;
  const [b0, b1, b2, a0, a1, a2] =
    kind === 'peak'
      ? [1 + alpha * a, -2 * cos, 1 - alpha * a, 1 + alpha / a, -2 * cos, 1 - alpha / a]
      : [
          a * (a + 1 - side * (a - 1) * cos + root),
          side * 2 * a * (a - 1 - side * (a + 1) * cos),
          a * (a + 1 - side * (a - 1) * cos - root),
          a + 1 + side * (a - 1) * cos + root,
          side * -2 * (a - 1 + side * (a + 1) * cos),
          a + 1 + side * (a - 1) * cos - root,
        ];
  return {
    rate: pcm.rate,
    channels: pcm.channels.map((channel) => {
      let [x1, x2, y1, y2] = [0, 0, 0, 0];
      return channel.map((x) => {
        const y = (b0 * x + b1 * x1 + b2 * x2 - a1 * y1 - a2 * y2) / a0;
        [x1, x2, y1, y2] = [x, x1, y, y1];
        return y;
      });
    }),
  };
}

/** The same, later (or, by a negative number, earlier) by so many samples; of the same length. */
export function shifted(pcm: Pcm, samples: number): Pcm {
  return {
    rate: pcm.rate,
    channels: pcm.channels.map((channel) => {
      const moved = new Float32Array(channel.length);
      moved.set(channel.subarray(Math.max(0, -samples), channel.length - Math.max(0, samples)), Math.max(0, samples));
      return moved;
    }),
  };
}

export function louder(pcm: Pcm, db: number): Pcm {
  const factor = 10 ** (db / 20);
  return { rate: pcm.rate, channels: pcm.channels.map((channel) => channel.map((x) => x * factor)) };
}
