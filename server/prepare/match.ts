import { setImmediate as nextTurn } from 'node:timers/promises';
import { levelsCount, type Plan, usualSound } from '../../shared/plan';
import type { MatchedExcerpt, MatchedFile, MatchedUnit, SoundMatch } from '../../shared/sound-match';
import { lagBetween, leastCorrelation, mostLag } from '../audio/align';
import { matchRenders } from '../audio/match';
import { MatchError } from '../audio/match-error';
import type { Pcm } from '../audio/pcm';
import type { SoundFacts } from '../audio/shelf';
import { SoundError } from '../audio/sound-error';
import { type UnitNow, unitsNow } from '../level-problems';
import type { Parts } from '../parts';
import { type ExcerptSound, type Slot, soundOf, soundReady } from '../sound-ready';
import type { StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { furthestApart } from './lags';
import { trimsOf } from './unit-trims';
import { isSame, unlikeWords } from './unlike';

/** Beyond this, files that are meant to begin together have been cut at different places altogether. */
const lookedForSeconds = 0.1;

type Loaded = Slot & { pcm: Pcm };

/**
 * Cuts and matches all that a study plays: for each excerpt what its files are lowered by, and with units what the file
 * made for each is lowered by besides. Between files the server goes on answering.
 *
 * @throws Refusal by `match`, in words that say which file is in the way
 */
export async function matchOf(parts: Parts, study: StudyRow, plan: Plan): Promise<SoundMatch> {
  const { db } = parts.store;
  const { missing } = await soundReady(db, study, plan);
  const first = missing.find(({ code }) => code !== 'not-matched');
  if (first) throw new Refusal('bad-input', first.message, { path: 'match' });
  const units = await unitsNow(db, study.id, plan, parts.now());
  refuseUnmeasured(units);
  const warnings: string[] = [];
  const excerpts: MatchedExcerpt[] = [];
  const trims: MatchedUnit[] = [];
  await inWords(async () => {
    for (const one of await soundOf(db, study, plan)) {
      const made = await excerptOf(parts, plan, one, warnings);
      excerpts.push(made.matched);
      if (levelsCount(plan)) trims.push(...(await unitsOf(one, units, made)));
    }
  });
  if (levelsCount(plan)) warnings.push(...unitWarnings(units));
  return { by: soundPlanOf(plan).match.kind, excerpts, units: trims, warnings };
}

async function inWords(work: () => Promise<unknown>): Promise<void> {
  try {
    await work();
  } catch (error) {
    if (!(error instanceof MatchError || error instanceof SoundError)) throw error;
    throw new Refusal('bad-input', error.message, { path: 'match' });
  }
}

/**
 * Whether files go together that no study has yet: one for each prototype of its one excerpt, from their begin.
 * @throws Refusal by `match`, as `matchOf` would
 */
export const tryMatch = (parts: Parts, plan: Plan, files: readonly SoundFacts[], seconds: number): Promise<void> =>
  inWords(async () => {
    const [excerpt] = plan.excerpts;
    const rate = files[0]?.rate ?? 0;
    if (!excerpt) throw new Error('A plan without an excerpt was to be tried.');
    const slots = plan.prototypes.map(({ id: prototype, name: label }, at) => {
      const facts = files[at];
      const of = { excerpt_id: excerpt.id, prototype_id: prototype, at: '', by: '' };
      return { prototype, label, sound: facts ? { ...facts, ...of } : null };
    });
    const cut = { study_id: '' as StudyRow['id'], excerpt_id: excerpt.id, from_frame: 0 };
    const one: ExcerptSound = { excerpt, slots, cut: { ...cut, to_frame: Math.round(seconds * rate) } };
    const { files: loaded } = await excerptOf(parts, plan, one, []);
    const [first, second] = loaded.map(({ pcm }) => pcm);
    if (first && second && isSame(first, second)) {
      throw new Refusal('bad-input', 'Both are one and the same sound, but for their level. Choose another file.', {
        path: 'match',
      });
    }
  });

export const soundPlanOf = ({ sound }: Pick<Plan, 'sound'>) => sound ?? usualSound;

const isLossy = (format?: string): boolean => format === 'mp3' || format === 'ogg';

interface Made {
  matched: MatchedExcerpt;
  files: Loaded[];
}

async function excerptOf(parts: Parts, plan: Plan, one: ExcerptSound, warnings: string[]): Promise<Made> {
  const { excerpt, slots, cut } = one;
  const { match, alignment } = soundPlanOf(plan);
  const from = cut?.from_frame ?? 0;
  const to = cut?.to_frame ?? 0;
  const files: Loaded[] = [];
  for (const slot of slots) {
    files.push({ ...slot, pcm: await cutOf(parts, excerpt.name, slot, from, to) });
    await nextTurn();
  }
  // Whatever is made here of one of them begins where that one does, and is meant to be unlike it.
  const brought = files.filter(({ anchor }) => anchor === undefined);
  const lags = new Map<string, number | null>();
  for (const file of brought) {
    lags.set(file.prototype, lagOf(brought[0], file, alignment, excerpt.name, warnings));
    await nextTurn();
  }
  refuseApart(brought, [...lags.values()], alignment, excerpt.name);
  const renders = brought.map(({ label, sound, pcm }) => ({ label, pcm, lossy: isLossy(sound?.format) }));
  warnings.push(...unlikeWords(excerpt.name, renders));
  await nextTurn();
  const named = files.map(({ prototype, label, pcm, anchor }) => ({
    id: prototype,
    name: `${excerpt.name}: ${label}`,
    pcm,
    ...(anchor ? { follows: anchor.of } : {}),
  }));
  const { files: levels } = matchRenders(named, match);
  await nextTurn();
  return {
    files,
    matched: {
      id: excerpt.id,
      rate: files[0]?.pcm.rate ?? 0,
      from,
      to,
      files: files.map(({ prototype, sound, pcm, anchor }, at): MatchedFile => {
        const level = levels[at];
        if (!sound || !level) throw new Error('A file was matched that is not there.');
        return {
          prototype,
          sha256: sound.sha256,
          name: sound.name,
          ...(anchor ? { lowPassHz: anchor.lowPassHz } : {}),
          channels: pcm.channels.length,
          before: level.before,
          gain: level.gain,
          after: level.after,
          lag: lags.get(anchor?.of ?? prototype) ?? null,
        };
      }),
    },
  };
}

/** @throws Refusal that names the file when it isn't on the shelf any more */
async function cutOf(parts: Parts, excerpt: string, slot: Slot, from: number, to: number): Promise<Pcm> {
  const { label, sound, anchor } = slot;
  try {
    return await parts.sounds.cut(sound?.sha256 ?? '', from, to, anchor?.lowPassHz);
  } catch (error) {
    if (!(error instanceof SoundError && error.code === 'lost')) throw error;
    throw new Refusal(
      'bad-input',
      `${excerpt}, ${label}: the file “${sound?.name ?? ''}” is not in the data folder any more, or is not what it was. Bring it again, then match.`,
      { path: 'match' },
    );
  }
}

/** By how many samples it begins later than the first file of its excerpt; null where that couldn't be told. */
function lagOf(
  first: Loaded | undefined,
  file: Loaded,
  alignment: 'checked' | 'declared',
  excerpt: string,
  warnings: string[],
): number | null {
  if (!first || first === file) return 0;
  const { rate } = first.pcm;
  const { lag, correlation } = lagBetween(first.pcm, file.pcm, Math.round(rate * lookedForSeconds));
  const pair = `${file.label} and ${first.label}`;
  if (Math.abs(correlation) < leastCorrelation) {
    warnings.push(
      `${excerpt}: whether ${pair} begin together can’t be told, since they have too little in common. Listen to both.`,
    );
    return null;
  }
  if (correlation < 0) warnings.push(`${excerpt}: ${pair} have opposite polarity.`);
  if (Math.abs(lag) <= mostLag) return lag;
  const milliseconds = ((Math.abs(lag) / rate) * 1000).toFixed(1);
  const words = `${excerpt}: the render of ${file.label} begins ${Math.abs(lag)} samples (${milliseconds} ms) ${lag > 0 ? 'later' : 'earlier'} than that of ${first.label}`;
  if (alignment === 'checked') {
    throw new Refusal(
      'bad-input',
      `${words}. A jump like that tells them apart at every switch. Export them from one project with the same start.`,
      { path: 'match', allowed: `within ${mostLag} sample`, got: String(lag) },
    );
  }
  warnings.push(`${words}; by the plan they needn’t begin together.`);
  return lag;
}

/** Two that are each within a sample of the first may be two apart. */
function refuseApart(
  files: readonly Loaded[],
  lags: readonly (number | null)[],
  alignment: 'checked' | 'declared',
  excerpt: string,
): void {
  const apart = alignment === 'checked' ? furthestApart(lags) : null;
  if (!apart) return;
  const [early, late] = [files[apart.early]?.label, files[apart.late]?.label];
  throw new Refusal(
    'bad-input',
    `${excerpt}: the render of ${late} begins ${apart.samples} samples later than that of ${early}. A jump like that tells them apart at every switch. Export them from one project with the same start.`,
    { path: 'match', allowed: `within ${mostLag} sample`, got: String(apart.samples) },
  );
}

function refuseUnmeasured(units: readonly UnitNow[]): void {
  const without = units.filter(({ newest }) => newest === null).map(({ serial }) => serial);
  if (without.length === 0) return;
  throw new Refusal(
    'bad-input',
    `Never measured: ${without.join(', ')}. The file of a unit is trimmed by its level, so note that first (Levels).`,
    { path: 'match' },
  );
}

/** What is trimmed by an old level is said; that it needs a signature is for locking and opening. */
const unitWarnings = (units: readonly UnitNow[]): string[] => [
  ...curveWarning(units),
  ...units.flatMap(({ serial, state, newest }) =>
    state === 'stale' || state === 'reworked'
      ? [
          `${serial} is trimmed by a level of ${newest?.measured_on ?? ''}, which is ${state === 'stale' ? 'out of date' : 'from before it was reworked'}.`,
        ]
      : [],
  ),
];

/** A level at 1 kHz is no level of a programme: units that differ in colour then differ in loudness, too. */
function curveWarning(units: readonly UnitNow[]): string[] {
  const without = units.filter(({ newest }) => newest !== null && newest.response === null);
  if (without.length === 0) return [];
  const whose = without.length === units.length ? 'no unit has one' : without.map(({ serial }) => serial).join(', ');
  return [
    `Units are matched at 1\u00a0kHz alone, since a response curve is missing (${whose}). Tunings that differ in colour may still differ in loudness.`,
  ];
}

/** The trims hold the programme's own peaks down as well, so that they are all that its files are rendered with. */
async function unitsOf({ excerpt }: ExcerptSound, units: readonly UnitNow[], { files }: Made): Promise<MatchedUnit[]> {
  const [file] = files;
  if (!file) throw new Error('A programme was matched that is not there.');
  await nextTurn();
  return trimsOf(units, file.pcm).map(({ unit, level, trim }) => ({ unit, excerpt: excerpt.id, level, gain: trim }));
}
