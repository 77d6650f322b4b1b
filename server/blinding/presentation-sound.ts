import { setImmediate as nextTurn } from 'node:timers/promises';
import type { MatchedExcerpt, MatchedFile, SoundMatch } from '../../shared/sound-match';
import { keystream } from '../audio/dither';
import type { Pcm } from '../audio/pcm';
import { renderWav } from '../audio/render';
import type { Db } from '../store/open';
import { findSoundMatch } from '../store/sounds';
import { canonicalJson } from './canonical-json';
import type { DrawnTrial } from './draw';
import { sha256 } from './hash';
import { HmacDrbg } from './hmac-drbg';
import { loadDraw, seedOf, workingKey } from './key';
import type { SeatAddress, Serving } from './serving';

/**
 * The files that a page plays: the one place where a code becomes a sound. A file is made for one presentation alone
 * and never kept; the same presentation gives the same bytes again, since its dither is drawn at an address of its own.
 * So whoever has the published seed, the ledger and the files that were brought can make every file anew and hold it
 * against the hash that the ledger has of it.
 */
export interface PresentationSound {
  presentation: number;
  bytes: number;
  sha256: string;
  /** Null where only what it comes to was asked for. */
  wav: Buffer | null;
}

export interface TrialSounds {
  rate: number;
  frames: number;
  sounds: PresentationSound[];
}

/** Samples `from` … `to` of a stored file; of an anchor, of what lies in it below that frequency. */
export interface Cuts {
  cut(sha256: string, from: number, to: number, lowPassHz?: number): Promise<Pcm>;
}

let turn: Promise<unknown> = Promise.resolve();

/**
 * Makes the files of these presentations of a trial. One trial at a time: a dozen renders of half a minute and what is
 * made of them take a hundred megabytes and more, and a whole panel comes at once.
 * @param keep whether the files are wanted, or only their lengths and hashes
 * @throws Error when nothing was matched for it: no session opens so
 */
export function makeSounds(
  db: Db,
  serving: Serving,
  cuts: Cuts,
  address: SeatAddress,
  ordinal: number,
  presentations: readonly number[],
  keep: 'files' | 'hashes',
): Promise<TrialSounds> {
  const made = turn.then(() => makeNow(db, serving, cuts, address, ordinal, presentations, keep));
  turn = made.catch(() => {});
  return made;
}

async function makeNow(
  db: Db,
  serving: Serving,
  cuts: Cuts,
  address: SeatAddress,
  ordinal: number,
  presentations: readonly number[],
  keep: 'files' | 'hashes',
): Promise<TrialSounds> {
  const dataKey = workingKey(serving.folder, serving.study);
  const drawn = await loadDraw(db, dataKey, { study: serving.study, ...address });
  const trial = drawn?.trials.find(({ design }) => design.ordinal === ordinal);
  const match = await findSoundMatch(db, serving.study);
  const excerpt = match?.excerpts.find(({ id }) => id === trial?.excerpt);
  if (!trial || !match || !excerpt) throw new Error('A trial is to be played for which nothing was matched.');
  const seed = await seedOf(db, serving.study, dataKey);
  const sources = presentations.map((presentation) => ({
    presentation,
    ...sourceOf(match, excerpt, trial, presentation),
  }));
  const read = await readAll(cuts, excerpt, new Set(sources.map(({ file }) => file)));
  const sounds: PresentationSound[] = [];
  for (const { presentation, file, gain } of sources) {
    const pcm = read.get(file);
    if (!pcm) throw new Error('A file of an excerpt was not read.');
    const wav = renderWav(pcm, gain, keystream(ditherKey(seed, serving.planVersion, address, ordinal, presentation)));
    sounds.push({ presentation, bytes: wav.length, sha256: sha256(wav), wav: keep === 'files' ? wav : null });
    await nextTurn();
  }
  return { rate: excerpt.rate, frames: excerpt.to - excerpt.from, sounds };
}

/**
 * Reads every file of the excerpt, whatever is played, in the order of the plan. Else how long an answer takes, which
 * files were looked at when, and whether anything comes at all would go with what is played: a file in one channel is
 * read sooner than one in two, and one that is missing would be missed only where it plays.
 */
async function readAll(
  cuts: Cuts,
  excerpt: MatchedExcerpt,
  wanted: ReadonlySet<MatchedFile>,
): Promise<Map<MatchedFile, Pcm>> {
  const read = new Map<MatchedFile, Pcm>();
  for (const file of excerpt.files) {
    const pcm = forTwoEars(await cuts.cut(file.sha256, excerpt.from, excerpt.to, file.lowPassHz));
    if (wanted.has(file)) read.set(file, pcm);
  }
  return read;
}

/** One channel is played in both ears: as many samples to go through as of any other. */
function forTwoEars({ rate, channels }: Pcm): Pcm {
  const [left, right] = channels;
  return left && !right ? { rate, channels: [left, left.slice()] } : { rate, channels };
}

/** The file behind a presentation, and what its samples are multiplied by. */
function sourceOf(
  match: SoundMatch,
  excerpt: MatchedExcerpt,
  { design, units }: DrawnTrial,
  presentation: number,
): { file: MatchedFile; gain: number } {
  const unit = units[presentation - 1];
  const prototype = unit === undefined ? design.presentations[presentation - 1] : '';
  const found = excerpt.files.find((one) => one.prototype === prototype);
  const gain =
    unit === undefined ? found?.gain : match.units.find((one) => one.unit === unit && one.excerpt === excerpt.id)?.gain;
  if (!found || gain === undefined) throw new Error('A presentation is to be played for which nothing was matched.');
  return { file: found, gain };
}

const nonce = Buffer.from('fair-hearing/dither/1');

/** A key for the dither of one presentation, so that no two files share any of their noise. */
function ditherKey(
  seed: Buffer,
  planVersion: number,
  { audience, ordinal, session, sitting }: SeatAddress,
  trial: number,
  presentation: number,
): Buffer {
  const path = [planVersion, 'audience', audience, 'listener', ordinal, 'session', session, 'sitting', sitting];
  return new HmacDrbg(seed, nonce, Buffer.from(canonicalJson([...path, 'trial', trial, presentation]))).generate(32);
}
