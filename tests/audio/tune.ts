import type { Pcm } from '../../server/audio/pcm';

/** Invented programme: three plucked notes that die away, a little later and softer on the right. On the grid of 16 bits. */
export function tune(rate: number, seconds = 0.3, channels = 2): Pcm {
  const frames = Math.round(rate * seconds);
  const notes = [196, 293.66, 440].map((hertz, place) => ({ hertz, start: place * 0.08 }));
  const at = (time: number) =>
    notes.reduce((sum, { hertz, start }) => {
      const since = time - start;
      if (since < 0) return sum;
      const pluck = Math.min(1, since / 0.002) * Math.exp(-9 * since);
      return sum + pluck * (0.2 * Math.sin(2 * Math.PI * hertz * since) + 0.06 * Math.sin(6 * Math.PI * hertz * since));
    }, 0);
  return {
    rate,
    channels: Array.from({ length: channels }, (_, channel) =>
      Float32Array.from({ length: frames }, (_, i) => {
        const value = channel === 0 ? at(i / rate) : 0.7 * at(i / rate - 0.003);
        // No negative zeros, which whole numbers don't have.
        return Math.round(value * 32_767) / 32_768 + 0;
      }),
    ),
  };
}

/** A tone of its own for each of six channels: left, right, centre, low-frequency effects, left and right surround. */
export const sixTones = [200, 400, 600, 60, 800, 1000];

export function six(rate: number, seconds = 0.2): Pcm {
  return {
    rate,
    channels: sixTones.map((hertz) =>
      Float32Array.from({ length: rate * seconds }, (_, i) => 0.2 * Math.sin((2 * Math.PI * hertz * i) / rate)),
    ),
  };
}
