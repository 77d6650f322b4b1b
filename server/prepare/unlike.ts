import type { Pcm } from '../audio/pcm';

export interface Render {
  /** What it is called. */
  label: string;
  pcm: Pcm;
  /** Whether its file was coded with losses. */
  lossy?: boolean;
}

/** Of full scale. Common practice: an offset that is let alone is at least 60 dB below full scale. */
const mostOffset = 0.001;
/** Of the rms: 26 dB below the programme. From judgement. */
const mostShare = 0.05;
/** A step of 16 bits: less than that between both ears is no width. */
const leastWidth = 2 ** -15;

/** What tells renders of one excerpt apart at every switch and is hardly ever meant, in words; none when there is nothing. */
export function unlikeWords(excerpt: string, renders: readonly Render[]): string[] {
  return [
    ...sameWords(excerpt, renders),
    ...codingWords(excerpt, renders),
    ...offsetWords(excerpt, renders),
    ...widthWords(excerpt, renders),
  ];
}

/** What matching leaves of two that differ in level alone, as a share of power: below the last bit of 16. */
const leastRest = 1e-9;

/** Nobody can hear what isn't there, and a study of it would say so as if it had found it out. */
function sameWords(excerpt: string, renders: readonly Render[]): string[] {
  return renders.flatMap(({ label, pcm }, at) => {
    const twin = renders.slice(0, at).find((one) => isSame(one.pcm, pcm));
    if (!twin) return [];
    return [
      `${excerpt}: ${twin.label} and ${label} are one and the same sound, but for their level. Look whether a file was brought twice.`,
    ];
  });
}

export function isSame(a: Pcm, b: Pcm): boolean {
  const both = (channels: readonly Float32Array[]) => [channels[0], channels[1] ?? channels[0]];
  const [first, second] = [both(a.channels), both(b.channels)];
  let [own, other, shared] = [0, 0, 0];
  for (const [at, channel] of first.entries()) {
    const beside = second[at];
    channel?.forEach((x, i) => {
      const y = beside?.[i] ?? 0;
      own += x * x;
      other += y * y;
      shared += x * y;
    });
  }
  return shared > 0 && 1 - (shared * shared) / (own * other) < leastRest;
}

function codingWords(excerpt: string, renders: readonly Render[]): string[] {
  const coded = renders.filter(({ lossy }) => lossy).map(({ label }) => label);
  if (coded.length === 0 || coded.length === renders.length) return [];
  return [
    `${excerpt}: ${coded.join(', ')} ${coded.length === 1 ? 'comes' : 'come'} from MP3 or Ogg, and others do not. What that coding takes away may tell them apart; export all as WAV or FLAC.`,
  ];
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
