import { seededRandom } from '../../stats/seeded-random';

/** How an invented unit measures: decibels by which bass and the peak stand above the middle. */
export interface Curve {
  /** From 250 Hz down, all of it from 60 Hz down. */
  bass: number;
  /** Around 3 kHz. */
  peak: number;
}

export const usualCurve: Curve = { bass: 4.5, peak: 9 };

/** Hz; so many points an octave. */
const [from, to, anOctave] = [20, 16_000, 12] as const;
const shelfAt = 125;
const peakAt = 3000;

/** The table that a measuring program would give: both ears, which differ a little, as units do. The same each time. */
export function responseOf({ bass, peak }: Curve, serial: string): string {
  const random = seededRandom(`response of ${serial}`);
  const [left, right] = [0, 1].map(() => ({
    bass: bass + 0.6 * (random.uniform() - 0.5),
    peak: peak + 0.8 * (random.uniform() - 0.5),
  })) as [Curve, Curve];
  const points = Math.floor(Math.log2(to / from) * anOctave);
  const rows = Array.from({ length: points + 1 }, (_, i) => {
    const hertz = from * 2 ** (i / anOctave);
    return [hertz, level(left, hertz), level(right, hertz)].map((value) => value.toFixed(2)).join();
  });
  return ['frequency_hz,left_db,right_db', ...rows].join('\n');
}

/** dB, of 94 at 1 kHz or next to it. */
function level({ bass, peak }: Curve, hertz: number): number {
  const octaves = Math.log2(hertz / peakAt);
  const falls = Math.max(0, Math.log2(hertz / 8000)) * 12;
  return 94 + bass / (1 + (hertz / shelfAt) ** 2.5) + peak * Math.exp(-((octaves / 0.6) ** 2)) - falls;
}
