import type { MatchFigures } from '../../shared/sound-match';
import { bandLevel, measure } from './loudness';
import { MatchError } from './match-error';
import type { Pcm } from './pcm';

/** By what renders are brought to one level: the loudness of the whole (BS.1770-5), or the power between two frequencies in Hz. */
export type MatchBy = { kind: 'loudness' } | { kind: 'band'; low: number; high: number };

/** A render to be matched. `name` is what messages call it, if not by its id. */
export interface MatchInput {
  id: string;
  name?: string;
  pcm: Pcm;
  /**
   * An anchor, by the id of the reference that it is made of: it takes the gain of that one, whatever its own level comes
   * to, and no other is lowered to it. What was taken off took loudness with it; matched anew, all that was left would be
   * louder than in the reference, and the anchor would be another sound than what its frequency says.
   */
  follows?: string;
}

export interface Matched {
  id: string;
  /** Level in LUFS, or in dBFS of a band; true peak in dBTP. */
  before: MatchFigures;
  /** In dB, always below 0, in steps of 0.001 dB. */
  gain: number;
  /** Measured again, of the samples with the gain applied. */
  after: MatchFigures;
}

export interface MatchResult {
  files: Matched[];
  /** The level that all have now, in the unit of the figures: that of the quietest. */
  target: number;
  /** By how much all were lowered together, in dB: by a tenth, or as far as the peaks need. */
  lowered: number;
}

/** What levels may differ by once they are matched, in dB; see `level-tolerance.ts`. */
const mostDifference = 0.1;

/** True peaks stay below this, in dBTP (EBU R 128, 2020: maximum permitted true peak level). */
export const peakCeiling = -1;

/** A band with less than this, in dBFS, has nothing but noise to match by. */
const leastBandLevel = -90;

/**
 * All are lowered by so much in dB, the quietest as well. Left as it was, a file of 16 bits would have next to nothing in
 * its last byte, and whoever looks at the bytes could tell it from those that were scaled.
 */
export const leastLowering = 0.1;

const attempts = 4;

/** To whole thousandths of a dB: the ledger's figure is the one that was used. Never up, so that peaks stay down. */
export const floorGain = (db: number): number => Math.floor(db * 1000 + 1e-6) / 1000 + 0;

/**
 * Brings renders of one excerpt to one level: each is lowered to the quietest, then all together by a tenth of a dB,
 * or as far as the highest true peak needs to stay below −1 dBTP. Nothing is ever raised or left as it was. Levels are measured again with the gains applied, since
 * BS.1770's gate at −70 LUFS may let fewer blocks through then; what is off is corrected, and what can't be brought within
 * 0.1 dB is refused.
 *
 * @param files one or more, one or two channels, of one rate and length
 * @throws MatchError when something can't be measured or matched
 */
export function matchRenders(files: readonly MatchInput[], how: MatchBy): MatchResult {
  checkAlike(files);
  const before = files.map((file) => figuresOf(file, file.pcm, how));
  const leaders = files.map((file, i) => leaderOf(files, file, i));
  const matchedOf = <T>(values: readonly T[]) => values.filter((_, i) => leaders[i] === i);
  const quietest = Math.min(...matchedOf(before).map(({ level }) => level));
  const peaks = before.map(({ truePeak }) => truePeak);
  let wanted = leaders.map((leader) => quietest - (before[leader] as MatchFigures).level);
  for (let attempt = 1; ; attempt++) {
    const { gains, lowered } = keepPeaksDown(wanted, peaks);
    const after = files.map((file, i) => {
      return figuresOf(file, amplified(file.pcm, gains[i] as number), how);
    });
    const levels = after.map(({ level }) => level);
    const target = Math.min(...matchedOf(levels));
    const spread = Math.max(...matchedOf(levels)) - target;
    // One step of rounding is no reason to try again.
    if (spread <= 0.002 || (attempt === attempts && spread <= mostDifference)) {
      return { files: files.map(({ id }, i) => matched(id, before, gains, after, i)), target, lowered };
    }
    if (attempt === attempts) {
      const most = Math.max(...matchedOf(levels));
      const loudest = files[levels.findIndex((level, i) => leaders[i] === i && level === most)] as MatchInput;
      throw new MatchError(
        'not-matched',
        `${nameOf(loudest)} is still ${spread.toFixed(2)} dB louder than the quietest after matching. ` +
          'Most of the excerpt is near silence: choose in and out points around something louder.',
        loudest.id,
      );
    }
    wanted = wanted.map((gain, i) => gain + target - (levels[leaders[i] as number] as number));
  }
}

/** Place of the file whose gain it takes: its own, or that of its reference. */
function leaderOf(files: readonly MatchInput[], { id, follows }: MatchInput, own: number): number {
  if (follows === undefined) return own;
  const place = files.findIndex((file) => file.id === follows && file.follows === undefined);
  if (place < 0) throw new RangeError(`${id} follows ${follows}, which is not matched here.`);
  return place;
}

/** Gains in steps of 0.001 dB, all below 0, with every true peak below the ceiling. */
export function keepPeaksDown(
  wanted: readonly number[],
  peaks: readonly number[],
): { gains: number[]; lowered: number } {
  const highest = Math.max(...wanted);
  const relative = wanted.map((gain) => floorGain(gain - highest));
  const most = Math.max(...relative.map((gain, i) => gain + (peaks[i] as number)));
  const lowered = Math.min(-leastLowering, most >= peakCeiling ? floorGain(peakCeiling - most - 0.001) : 0);
  return { gains: relative.map((gain) => floorGain(gain + lowered)), lowered };
}

const matched = (id: string, before: MatchFigures[], gains: number[], after: MatchFigures[], i: number): Matched => ({
  id,
  before: before[i] as MatchFigures,
  gain: gains[i] as number,
  after: after[i] as MatchFigures,
});

const nameOf = ({ id, name }: MatchInput): string => name ?? id;

function checkAlike(files: readonly MatchInput[]): void {
  const [first, ...others] = files;
  if (!first) throw new MatchError('nothing', 'There is no sound to match. Add a file for each prototype.');
  for (const file of files) {
    const { channels } = file.pcm;
    if (channels.length !== 1 && channels.length !== 2) {
      throw new MatchError(
        'channels',
        `${nameOf(file)} has ${channels.length} channels; two ears play one or two. Export it as stereo or mono.`,
        file.id,
      );
    }
  }
  for (const file of others) {
    if (file.pcm.rate !== first.pcm.rate) {
      throw new MatchError(
        'mixed-rates',
        `${nameOf(file)} has ${file.pcm.rate} samples a second and ${nameOf(first)} ${first.pcm.rate}. ` +
          'Converting one of them could be heard. Export all renders of an excerpt at one rate.',
        file.id,
      );
    }
  }
  const length = first.pcm.channels[0]?.length;
  for (const file of files) {
    if (file.pcm.channels.some((channel) => channel.length !== length)) {
      throw new MatchError(
        'mixed-lengths',
        `${nameOf(file)} isn’t as long as ${nameOf(first)}. Give all renders of an excerpt the same in and out points.`,
        file.id,
      );
    }
  }
}

function figuresOf(file: MatchInput, pcm: Pcm, how: MatchBy): MatchFigures {
  const loudness = measure(pcm);
  const truePeak = Math.max(
    loudness.truePeak ?? Number.NEGATIVE_INFINITY,
    loudness.samplePeak ?? Number.NEGATIVE_INFINITY,
  );
  const level = how.kind === 'loudness' ? loudness.integrated : levelInBand(file, pcm, how);
  if (level === null || truePeak === Number.NEGATIVE_INFINITY) {
    const short = how.kind === 'loudness' && loudness.seconds < 0.4;
    throw new MatchError(
      short ? 'too-short' : 'too-quiet',
      short
        ? `${nameOf(file)} lasts ${loudness.seconds.toFixed(2)} s; loudness needs 0.4 s. Choose in and out points further apart.`
        : `${nameOf(file)} is silent or nearly so: nothing in it can be matched. Check the file and the in and out points.`,
      file.id,
    );
  }
  return { level, truePeak };
}

function levelInBand(file: MatchInput, pcm: Pcm, { low, high }: { low: number; high: number }): number {
  if (!(low >= 0 && low < high && high <= pcm.rate / 2)) {
    throw new MatchError(
      'band',
      `The band from ${low} to ${high} Hz doesn’t lie between 0 and ${pcm.rate / 2} Hz, which is what ${nameOf(file)} can hold.`,
      file.id,
    );
  }
  const level = bandLevel(pcm, low, high);
  if (level === null || (level < leastBandLevel && file.follows === undefined)) {
    throw new MatchError(
      'too-quiet',
      `${nameOf(file)} has next to nothing between ${low} and ${high} Hz. Match by loudness, or by a band that the programme fills.`,
      file.id,
    );
  }
  return level;
}

/** The same with a gain in dB, as it is measured again. */
function amplified(pcm: Pcm, gain: number): Pcm {
  const factor = 10 ** (gain / 20);
  return { rate: pcm.rate, channels: pcm.channels.map((channel) => channel.map((x) => x * factor)) };
}
