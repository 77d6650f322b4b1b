/** Waveforms as they are drawn: on one axis of time, so that files under each other show where they differ. */

export interface Waveform {
  /** In units of the drawing. */
  width: number;
  height: number;
  /** Seconds from left to right. */
  seconds: number;
  /** Where the excerpt begins and ends. */
  from: number;
  to: number;
  cutWidth: number;
  /** In words. */
  length: string;
  rows: { label: string; y: number; path: string }[];
}

export const waveWidth = 1000;
/** Pixels, and units of the drawing. */
const rowHeight = 56;
/** What is quieter than this, in full scale, is drawn as quiet. */
const leastScale = 0.02;

interface Drawn {
  label: string;
  seconds: number;
  overview: { min: number[]; max: number[] };
}

export function waveformOf(files: readonly Drawn[], cut: { from: number; to: number }): Waveform {
  const seconds = Math.max(...files.map((file) => file.seconds));
  // One scale for all, so that a louder file looks louder; and a quiet excerpt is seen all the same.
  const peak = Math.max(
    leastScale,
    ...files.flatMap(({ overview }) => [...overview.max, ...overview.min.map(Math.abs)]),
  );
  const at = (time: number) => round((time / seconds) * waveWidth);
  return {
    width: waveWidth,
    height: rowHeight * files.length,
    seconds,
    from: at(cut.from),
    to: at(cut.to),
    cutWidth: round(at(cut.to) - at(cut.from)),
    length: lengthWords(seconds),
    rows: files.map(({ label, seconds: own, overview }, index) => ({
      label,
      y: index * rowHeight,
      path: outline(overview, (own / seconds) * waveWidth, index * rowHeight + rowHeight / 2, peak),
    })),
  };
}

/** Along the highest samples and back along the lowest. */
function outline({ min, max }: Drawn['overview'], width: number, middle: number, peak: number): string {
  const reach = (rowHeight / 2 - 3) / peak;
  const x = (index: number) => round((index / Math.max(1, max.length - 1)) * width);
  // A line at least, where there is silence.
  const y = (value: number, edge: number) => round(middle - value * reach + edge);
  const there = max.map((value, index) => `${x(index)} ${y(value, -0.5)}`);
  const back = min.map((value, index) => `${x(index)} ${y(value, 0.5)}`).reverse();
  return `M${[...there, ...back].join('L')}Z`;
}

/** "12.5 s", "3 min 20 s". */
export function lengthWords(seconds: number): string {
  if (seconds < 60) return `${seconds.toFixed(1)}\u00a0s`;
  const whole = Math.round(seconds);
  return `${Math.floor(whole / 60)}\u00a0min ${whole % 60}\u00a0s`;
}

const round = (value: number): number => Math.round(value * 10) / 10;
