import { levelsCount, type Plan, type PlanExcerpt, plays } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { MatchedFile, SoundMatch } from '../shared/sound-match';
import { leastRate } from './audio/low-pass';
import { planOf } from './command';
import { findSoundMatch } from './store/sounds';
import { type StudySound, studyCuts, studySounds } from './store/study-sounds';
import type { Db, StudyCutRow, StudyRow } from './store/tables';

/** Seconds of an excerpt: what is refused, and what is advised against (ITU-R BS.1534, BS.1116; ears forget quickly). */
export const excerptSeconds = {
  least: 1,
  most: 60,
  advised: { least: 5, most: 25 },
  /** First impressions are had within these. */
  impression: { least: 5, most: 15 },
} as const;

/** A file that an excerpt needs: one for each prototype, or with units the one that all of them play. */
export interface Slot {
  /** Empty with units. */
  prototype: string;
  label: string;
  /** The file that was brought; of an anchor, the one of its reference. */
  sound: StudySound | null;
  /** Nobody brings an anchor: it is made here of the reference, which is told by id and by name. */
  anchor?: { lowPassHz: number; of: string; ofLabel: string };
}

export interface ExcerptSound {
  excerpt: PlanExcerpt;
  slots: Slot[];
  cut: StudyCutRow | null;
}

/** What each excerpt of a plan has of the files that it needs. */
export async function soundOf(db: Db, study: Pick<StudyRow, 'id'>, plan: Plan): Promise<ExcerptSound[]> {
  if (!plays(plan)) return [];
  const sounds = await studySounds(db, study.id);
  const cuts = await studyCuts(db, study.id);
  const wanted: Omit<Slot, 'sound'>[] = levelsCount(plan)
    ? [{ prototype: '', label: 'The programme' }]
    : plan.prototypes.map((one) => ({ prototype: one.id, label: one.name, ...anchorOf(plan, one) }));
  return plan.excerpts.map((excerpt) => ({
    excerpt,
    slots: wanted.map((slot) => {
      const source = slot.anchor?.of ?? slot.prototype;
      const own = sounds.find(({ excerpt_id, prototype_id }) => excerpt_id === excerpt.id && prototype_id === source);
      return { ...slot, sound: own ?? null };
    }),
    cut: cuts.find(({ excerpt_id }) => excerpt_id === excerpt.id) ?? null,
  }));
}

/** What an anchor is made of, by the reference that the method names. */
function anchorOf({ prototypes, method }: Plan, { anchor }: Plan['prototypes'][number]): Pick<Slot, 'anchor'> {
  if (!anchor) return {};
  const { reference } = method.spec as { reference?: unknown };
  const of = prototypes.find(({ id, anchor: other }) => id === reference && !other);
  return { anchor: { lowPassHz: anchor.lowPassHz, of: of?.id ?? '', ofLabel: of?.name ?? '' } };
}

/** Places for files that somebody has to bring. */
export const broughtSlots = ({ slots }: Pick<ExcerptSound, 'slots'>): Slot[] =>
  slots.filter(({ anchor }) => anchor === undefined);

/** Samples a second that the file of that prototype needs, for anchors to be made of it; null where none is. */
export const anchorsNeed = ({ slots }: Pick<ExcerptSound, 'slots'>, prototype: string): number | null => {
  const needs = slots.flatMap(({ anchor }) => (anchor?.of === prototype ? [leastRate(anchor.lowPassHz)] : []));
  return needs.length === 0 ? null : Math.max(...needs);
};

/** Whether this is what was matched for that place. */
export const isOf = (
  file: Pick<MatchedFile, 'prototype' | 'sha256' | 'lowPassHz'>,
  { prototype, sound, anchor }: Slot,
) => file.prototype === prototype && file.sha256 === sound?.sha256 && file.lowPassHz === anchor?.lowPassHz;

/** Whether files of one excerpt differ in what no matching makes up for. */
export function ratesOf({ slots }: ExcerptSound): number[] {
  return [...new Set(slots.flatMap(({ sound }) => (sound ? [sound.rate] : [])))];
}

export interface SoundReady {
  /** What is played; null while anything is missing. */
  match: SoundMatch | null;
  missing: Problem[];
}

/**
 * Whether all that a plan plays is there, cut and matched, and nothing has changed since.
 *
 * @param plan of a draft: what locking would make of it
 */
export async function soundReady(db: Db, study: StudyRow, plan: Plan = planOf(study)): Promise<SoundReady> {
  if (!plays(plan)) return { match: null, missing: [] };
  const excerpts = await soundOf(db, study, plan);
  const missing = excerpts.flatMap((one, index) => missingOf(plan, one, index));
  if (missing.length > 0) return { match: null, missing };
  const match = await findSoundMatch(db, study.id);
  if (match && excerpts.every((one) => isMatched(match, one)) && unitsMatched(match, plan)) {
    return { match, missing: [] };
  }
  const message = match
    ? 'Files, cut or units have changed since the sound was matched. Match it again.'
    : 'The sound is not matched yet.';
  return { match: null, missing: [{ code: 'not-matched', path: 'match', message }] };
}

/** The same for rooms that know no plan whole: whether a session may be opened. */
export const soundStands = async (db: Db, study: StudyRow): Promise<boolean> =>
  (await soundReady(db, study)).missing.length === 0;

function missingOf({ firstImpression }: Plan, one: ExcerptSound, index: number): Problem[] {
  const { excerpt, slots, cut } = one;
  const path = `excerpts.${index}`;
  const without = slots.filter(({ sound }) => sound === null);
  if (without.length > 0) return [{ code: 'missing', path, message: withoutWords(excerpt.name, without) }];
  const rates = ratesOf(one);
  if (rates.length > 1) {
    return [{ code: 'mixed-rates', path, message: `${excerpt.name}: its files have different rates.` }];
  }
  const short = slots.find(({ anchor }) => anchor && (rates[0] ?? 0) < leastRate(anchor.lowPassHz));
  if (short?.anchor) {
    const message = `${excerpt.name}: ${rates[0]} samples a second are too few for ${short.label}, which ends at ${short.anchor.lowPassHz}\u00a0Hz. Bring files of ${leastRate(short.anchor.lowPassHz)} samples a second at least.`;
    return [{ code: 'low-rate', path, message }];
  }
  if (!cut) return [{ code: 'missing', path, message: `${excerpt.name}: no in and out point yet.` }];
  const window = firstImpression?.windowSeconds ?? 0;
  if (cut.to_frame - cut.from_frame >= window * (rates[0] ?? 0)) return [];
  const message = `${excerpt.name}: it is shorter than the ${window} s of a first impression. Set its out point later.`;
  return [{ code: 'too-short', path, message }];
}

/** What is missing of an excerpt: files that somebody has to bring, and anchors that wait for one of them. */
function withoutWords(excerpt: string, without: readonly Slot[]): string {
  const names = (slots: readonly Slot[]) => slots.map(({ label }) => label).join(', ');
  const files = broughtSlots({ slots: [...without] });
  const anchors = without.filter(({ anchor }) => anchor !== undefined);
  const lost = anchors.filter(({ anchor }) => anchor?.of === '');
  if (lost.length > 0) return `${excerpt}: ${names(lost)} can’t be made, since the plan names no reference for it.`;
  const no = `${excerpt}: no file yet for ${names(files)}.`;
  return anchors.length > 0
    ? `${no} Made of ${anchors[0]?.anchor?.ofLabel} once that is there: ${names(anchors)}.`
    : no;
}

function isMatched(match: SoundMatch, { excerpt, slots, cut }: ExcerptSound): boolean {
  const matched = match.excerpts.find(({ id }) => id === excerpt.id);
  return (
    matched !== undefined &&
    cut !== null &&
    matched.from === cut.from_frame &&
    matched.to === cut.to_frame &&
    slots.every((slot) => matched.files.some((file) => isOf(file, slot)))
  );
}

const unitsMatched = (match: SoundMatch, plan: Plan): boolean =>
  !levelsCount(plan) ||
  plan.excerpts.every(({ id }) =>
    plan.prototypes.every(({ units }) =>
      units.every((unit) => match.units.some((one) => one.unit === unit.id && one.excerpt === id)),
    ),
  );
