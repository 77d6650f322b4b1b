import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { MatchedExcerpt, SoundMatch } from '../../shared/sound-match';
import { judgeLevel } from '../audio/level-tolerance';
import type { SoundFacts } from '../audio/shelf';
import { decimals } from '../number-words';
import { broughtSlots, type ExcerptSound, excerptSeconds, type Slot } from '../sound-ready';
import { utcMinute } from '../time-words';
import type { Values } from '../web/forms';
import type { Field } from '../web/page';
import type { MatchedTable, MatchPart, SoundExcerptPart, SoundSlot } from './view-models';
import { lengthWords, waveformOf } from './waveform';

type Facts = Pick<SoundFacts, 'loudness' | 'overview'>;

/** What was sent and refused: which excerpt and prototype it was about, what was typed, and what was wrong. */
export interface Sent {
  excerpt: string;
  prototype: string;
  values: Values;
  problems: readonly Problem[];
}

/** By the hash of the file. */
export type FactsOf = (sha256: string) => Facts;

export const factsIn =
  (kept: ReadonlyMap<string, string>): FactsOf =>
  (sha256) =>
    JSON.parse(kept.get(sha256) ?? '') as Facts;

const rateWords = (rate: number): string => `${Number((rate / 1000).toFixed(2))}\u00a0kHz`;
const formatWords = { wav: 'WAV', flac: 'FLAC', mp3: 'MP3', ogg: 'Ogg' } as const;
const levelWords = (value: number | null, unit: string): string =>
  value === null ? 'not measured' : `${decimals(value, 1)}\u00a0${unit}`;

const errorAt = (problems: readonly Problem[], path: string): string | null =>
  problems.find((problem) => problem.path === path)?.message ?? null;

/** Ids by place and not by what stands there, so that a link of the summary leads to it. */
export const fileId = (excerpt: number, slot: number): string => `file-${excerpt}-${slot}`;
export const cutId = (excerpt: number, name: 'from' | 'to'): string => `${name}-${excerpt}`;

export function excerptPart(
  plan: Plan,
  base: string,
  one: ExcerptSound,
  index: number,
  sent: Sent | null,
  factsOf: FactsOf,
): SoundExcerptPart {
  const { excerpt, slots } = one;
  const about = sent?.excerpt === excerpt.id ? sent : null;
  return {
    id: excerpt.id,
    name: excerpt.name,
    slots: slots.map((slot, at) => slotPart(base, excerpt.id, slot, fileId(index, at), about, factsOf)),
    cut: cutPart(plan, base, one, index, about),
    wave: wavePart(one, factsOf),
  };
}

function slotPart(
  base: string,
  excerpt: string,
  slot: Slot,
  id: string,
  sent: Sent | null,
  factsOf: FactsOf,
): SoundSlot {
  const { prototype, label, sound, anchor } = slot;
  return {
    id,
    label,
    action: `${base}/sound/upload`,
    removal: `${base}/sound/remove`,
    excerpt,
    prototype,
    error: sent?.prototype === prototype ? errorAt(sent.problems, 'file') : null,
    made: anchor ? madeWords(anchor, sound !== null) : null,
    file:
      anchor || !sound
        ? null
        : {
            name: sound.name,
            facts: [
              lengthWords(sound.frames / sound.rate),
              rateWords(sound.rate),
              sound.channels === 1 ? 'mono, played to both ears' : 'stereo',
              formatWords[sound.format as keyof typeof formatWords] ?? sound.format,
            ].join(' · '),
            loudness: levelWords(factsOf(sound.sha256).loudness.integrated, 'LUFS'),
            peak: levelWords(factsOf(sound.sha256).loudness.truePeak, 'dBTP'),
            by: sound.by,
            at: utcMinute(sound.at),
          },
  };
}

/** How an anchor comes to be. */
function madeWords({ lowPassHz, ofLabel }: NonNullable<Slot['anchor']>, there: boolean): string {
  const what = `what ${ofLabel === '' ? 'the reference' : ofLabel} has below ${lowPassHz / 1000}\u00a0kHz, at its gain`;
  if (there) return `Made here: ${what}. It changes with that file.`;
  return `Will be made here: ${what}, once that file is there.`;
}

function cutPart(
  plan: Plan,
  base: string,
  { excerpt, slots, cut }: ExcerptSound,
  index: number,
  sent: Sent | null,
): SoundExcerptPart['cut'] {
  const rate = slots.find(({ sound }) => sound)?.sound?.rate;
  if (rate === undefined) return null;
  const from = (cut?.from_frame ?? 0) / rate;
  const to = (cut?.to_frame ?? 0) / rate;
  const field = (name: 'from' | 'to', kept: number): Field => ({
    id: cutId(index, name),
    name,
    value: sent?.values[name] ?? String(Number(kept.toFixed(4))),
    error: sent ? errorAt(sent.problems, name) : null,
  });
  return {
    action: `${base}/sound/cut`,
    excerpt: excerpt.id,
    from: field('from', from),
    to: field('to', to),
    length: lengthWords(to - from),
    advice: adviceOf(plan, to - from),
  };
}

/** What is possible and not advised. */
function adviceOf({ firstImpression }: Plan, length: number): string | null {
  const { least, most } = firstImpression ? excerptSeconds.impression : excerptSeconds.advised;
  const by = firstImpression ? 'First impressions are had within' : 'Ears keep a sound in mind for';
  if (length >= least && length <= most) return null;
  return `${by} ${least} to ${most} s; this excerpt is ${length < least ? 'shorter' : 'longer'}.`;
}

function wavePart({ slots, cut }: ExcerptSound, factsOf: FactsOf): SoundExcerptPart['wave'] {
  const files = broughtSlots({ slots }).flatMap(({ label, sound }) =>
    sound
      ? [{ label, seconds: sound.frames / sound.rate, rate: sound.rate, overview: factsOf(sound.sha256).overview }]
      : [],
  );
  const [first] = files;
  if (!first) return null;
  return waveformOf(files, { from: (cut?.from_frame ?? 0) / first.rate, to: (cut?.to_frame ?? 0) / first.rate });
}

/** What was matched, excerpt by excerpt. */
export function matchPart(plan: Plan, match: SoundMatch, at: string): MatchPart {
  const unit = match.by === 'loudness' ? 'LUFS' : 'dBFS';
  return {
    at: utcMinute(at),
    unit,
    warnings: match.warnings,
    excerpts: match.excerpts.map((excerpt) => tableOf(plan, match, excerpt)),
  };
}

function lagWords(lag: number): string {
  if (lag === 0) return 'together';
  const size = Math.abs(lag);
  return `${size}\u00a0${size === 1 ? 'sample' : 'samples'} ${lag > 0 ? 'later' : 'earlier'}`;
}

const judgedWords = { passes: 'within tolerance', warns: 'reported', beyond: 'beyond tolerance' } as const;

function tableOf(plan: Plan, match: SoundMatch, excerpt: MatchedExcerpt): MatchedTable {
  const nameOf = (id: string) => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? 'The programme';
  // Anchors are as loud as what was taken off leaves them.
  const levels = excerpt.files.filter(({ lowPassHz }) => lowPassHz === undefined).map(({ after }) => after.level);
  const spread = Math.max(...levels) - Math.min(...levels);
  const units = plan.prototypes.flatMap((prototype) =>
    prototype.units.flatMap(({ id, serial }) => {
      const trim = match.units.find((one) => one.unit === id && one.excerpt === excerpt.id);
      return trim
        ? [{ serial, prototype: prototype.name, level: decimals(trim.level, 1), gain: decimals(trim.gain, 2) }]
        : [];
    }),
  );
  return {
    name: plan.excerpts.find(({ id }) => id === excerpt.id)?.name ?? '',
    length: lengthWords((excerpt.to - excerpt.from) / excerpt.rate),
    rows: excerpt.files.map(({ prototype, before, gain, after, lag }) => ({
      label: nameOf(prototype),
      before: decimals(before.level),
      gain: decimals(gain, 2),
      after: decimals(after.level, 2),
      peak: decimals(after.truePeak, 1),
      lag: lag === null ? 'can’t be told' : lagWords(lag),
    })),
    spread:
      levels.length > 1
        ? `${decimals(spread, 2)}\u00a0dB from quietest to loudest: ${judgedWords[judgeLevel('file', spread)]}.`
        : null,
    units,
  };
}
