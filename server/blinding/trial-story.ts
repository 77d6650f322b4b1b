import type { SentGrades } from '../../protocols/protocol';
import type { TrialId } from '../../shared/brands';
import type { SentRating } from '../../shared/wire';

/** One trial as the ledger tells it, entry by entry. */

export interface TrialStory {
  id: TrialId;
  ordinal: number;
  practice: boolean;
  replaces: number | null;
  codes: string[];
  state: 'open' | 'answered' | 'void';
  voidReason: string | null;
  /** The code that was picked, or `none`; null for ratings. */
  answer: string | null;
  ratings: SentRating[] | null;
  grades: SentGrades | null;
  /** How often each presentation was heard, in order; a page that was loaded anew meanwhile counts again. */
  heard: number[];
  /** Where in the ledger the first of them stands. */
  heardSeq: number | null;
  /** When the first impression began by the phone's wall clock. */
  startedWall: number | null;
  /** And when the server noted it. */
  startedAt: string | null;
  flags: string[];
  answeredAt: string | null;
  /** Where in the ledger the answer stands. */
  answeredSeq: number | null;
  /** And the hash of that entry, which holds everything before it. */
  answeredHash: string | null;
  answeredMs: number | null;
  heardMs: number | null;
  /** Where the page plays: milliseconds that each sample sounded by the audio clock, in the order of presentation. */
  soundedMs: number[];
  /** And the samples a second of its output; null where nobody knows. */
  outputRate: number | null;
  /** SHA-256 of the file that was made for each presentation, in their order; empty where none was. */
  files: string[];
  words: { code: string; text: string }[];
  retries: number;
  /** Of answers that were gathered elsewhere: hearings of each sample by its end, as the file has them. Null: counted. */
  broughtExposures: number[] | null;
  /** Of answers that were gathered elsewhere: nobody knows when in its sitting it came. */
  orderUntold: boolean;
}

export type Body = Record<string, unknown>;
export const string = (body: Body, key: string): string => String(body[key] ?? '');
export const count = (body: Body, key: string): number => Number(body[key] ?? 0);

/** One more hearing of the presentation that an entry is about. */
export function hear(trial: TrialStory, body: Body, seq: number): void {
  const place = count(body, 'presentation') - 1;
  if (place < 0 || place >= trial.heard.length) return;
  trial.heard[place] = (trial.heard[place] ?? 0) + 1;
  trial.heardSeq ??= seq;
}

/** All samples of a trial at once, where they stand beside each other; else the one that an entry is about. */
export function hearThose(trial: TrialStory, body: Body, seq: number): void {
  const places = body.all === true ? trial.heard.map((_, at) => at + 1) : [count(body, 'presentation')];
  for (const presentation of places) hear(trial, { presentation }, seq);
}

/** Which files were made for the page to play. */
export function noteFiles(trial: TrialStory, body: Body): void {
  if (!Array.isArray(body.presentations)) return;
  for (const { presentation, sha256 } of body.presentations as { presentation: number; sha256: string }[]) {
    if (presentation >= 1 && presentation <= trial.codes.length) trial.files[presentation - 1] = sha256;
  }
}

/** What a file that was brought says of an answer beside what every answer has. */
export function noteBrought(trial: TrialStory, body: Body): void {
  if (Array.isArray(body.flags)) for (const one of body.flags) flag(trial, String(one));
  if (Array.isArray(body.exposures)) trial.broughtExposures = body.exposures.map(Number);
  if (body.orderUntold === true) trial.orderUntold = true;
}

/** What the page's own player said of itself. */
export function noteSound(trial: TrialStory, body: Body): void {
  const sound = body.sound as { heardMs?: unknown; rate?: unknown } | undefined;
  if (!sound || !Array.isArray(sound.heardMs)) return;
  trial.soundedMs.push(...sound.heardMs.map(Number));
  if (typeof sound.rate === 'number') trial.outputRate = sound.rate;
}

/**
 * A first impression that is gone on with after its listener was away, or all had a pause. It can't be had anew, so it
 * is marked, as it is when the page was loaded anew. Whoever came back to the sample within the window may have heard
 * it once more.
 */
export function interrupt(
  trial: TrialStory,
  { at, seq }: { at: string; seq: number },
  { sampleThere, windowSeconds }: { sampleThere: boolean; windowSeconds: number },
): void {
  if (trial.state !== 'open' || trial.startedAt === null) return;
  flag(trial, 'interrupted');
  const since = Date.parse(at) - Date.parse(trial.startedAt);
  if (sampleThere && since <= windowSeconds * 1000) hear(trial, { presentation: 1 }, seq);
}

export function flag(trial: TrialStory, what: string): void {
  if (!trial.flags.includes(what)) trial.flags.push(what);
}

export const wallOf = (body: Body): number | null => (body.times as { wall?: number } | undefined)?.wall ?? null;

/** Two clocks of one phone that differ by so much over a trial: one of them stood still, or was set. */
const apart = 2_000;

export function clocksDisagree(trial: TrialStory, body: Body): boolean {
  const [monotonic, wall] = [sincePlaying(body), wallOf(body)];
  if (monotonic === null || wall === null || trial.startedWall === null) return false;
  return Math.abs(wall - trial.startedWall - monotonic) > apart;
}

export function sincePlaying(body: Body): number | null {
  const times = body.times as { sincePlaying?: number | null } | undefined;
  return times?.sincePlaying ?? null;
}

export function trialStory(body: Body): TrialStory {
  return {
    id: string(body, 'trial') as TrialId,
    ordinal: count(body, 'ordinal'),
    practice: body.practice === true,
    replaces: typeof body.replaces === 'number' ? body.replaces : null,
    codes: (body.codes as string[] | undefined) ?? [],
    state: 'open',
    voidReason: null,
    answer: null,
    ratings: null,
    grades: null,
    heard: ((body.codes as string[] | undefined) ?? []).map(() => 0),
    heardSeq: null,
    startedWall: null,
    startedAt: null,
    flags: [],
    answeredAt: null,
    answeredSeq: null,
    answeredHash: null,
    answeredMs: null,
    heardMs: null,
    soundedMs: [],
    outputRate: null,
    files: [],
    words: [],
    retries: 0,
    broughtExposures: null,
    orderUntold: false,
  };
}
