import type { Pcm } from '../audio/pcm';

export interface Render {
  /** What it is called. */
  label: string;
  pcm: Pcm;
}

/** Of full scale. Common practice: an offset that is let alone is at least 60 dB below full scale. */
const mostOffset = 0.001;
/** Of the rms: 26 dB below the programme. From judgement. */
const mostShare = 0.05;
/** A step of 16 bits: less than that between both ears is no width. */
const leastWidth = 2 ** -15;

/** What tells renders of one excerpt apart at every switch and is hardly ever meant, in words; none when there is nothing. */
export function unlikeWords(excerpt: string, renders: readonly Render[]): string[] {
  return [...offsetWords(excerpt, renders), ...widthWords(excerpt, renders)];
}

/**
 * The fade of a switch makes a thump of a constant that only one of them has. By its share of the rms, since the deepest
 * tones of one programme stay the same share of it at whatever level.
 */
function offsetWords(excerpt: string, renders: readonly Render[]): string[] {
  const offsets = renders.map(({ pcm }) => Math.max(...pcm.channels.map(meanOf)));
  const shares = renders.map(({ pcm }) => Math.max(...pcm.channels.map((one) => meanOf(one) / rmsOf(one))));
  const least = Math.min(...shares);
  return renders.flatMap(({ label }, at) => {
    const offset = offsets[at] ?? 0;
    if (offset <= mostOffset || (shares[at] ?? 0) - least <= mostShare) return [];
    return [
      `${excerpt}: the render of ${label} has an offset of ${(100 * offset).toFixed(1)} % of full scale that others have not. It thumps at every switch; export it through a high-pass.`,
    ];
  });
}

function widthWords(excerpt: string, renders: readonly Render[]): string[] {
  const narrow = renders.filter(({ pcm }) => isNarrow(pcm)).map(({ label }) => label);
  if (narrow.length === 0 || narrow.length === renders.length) return [];
  return [
    `${excerpt}: ${narrow.join(', ')} ${narrow.length === 1 ? 'is' : 'are'} the same in both ears, and others are not. Width alone tells them apart; export all alike, unless that is the question.`,
  ];
}

const averageOf = (channel: Float32Array, of: (sample: number) => number): number => {
  let sum = 0;
  for (const sample of channel) sum += of(sample);
  return sum / Math.max(1, channel.length);
};
const meanOf = (channel: Float32Array): number => Math.abs(averageOf(channel, (x) => x));
const rmsOf = (channel: Float32Array): number =>
  Math.max(Number.MIN_VALUE, Math.sqrt(averageOf(channel, (x) => x * x)));

function isNarrow({ channels: [left, right] }: Pcm): boolean {
  return !left || !right || left.every((sample, i) => Math.abs(sample - (right[i] ?? 0)) < leastWidth);
}
