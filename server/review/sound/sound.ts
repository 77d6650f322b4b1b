import type { SoundFindings } from '../../../shared/findings-sound';
import { listeningLevelSchema } from '../../../shared/listening-level';
import { plays } from '../../../shared/plan';
import type { LedgerEntry } from '../../../shared/record';
import type { MatchedExcerpt } from '../../../shared/sound-match';
import { type DoseScheme, dose } from '../../audio/dose';
import { judgeLevel } from '../../audio/level-tolerance';
import type { Told } from '../../blinding/outcomes';
import { type MatchEntry, matchesIn } from '../../blinding/sound-matches';
import type { StudyStory } from '../../blinding/story';

type Body = LedgerEntry['body'];
type UnitNames = Map<string, { serial: string; prototype: string }>;

/** What is known of sound and levels; undefined for a study that has nothing of either. */
export function soundOf(
  ledger: readonly LedgerEntry[],
  story: StudyStory,
  told: readonly Told[],
): SoundFindings | undefined {
  const { plan } = story;
  const units: UnitNames = new Map(
    plan.prototypes.flatMap(({ id, units: own }) =>
      own.map((unit) => [unit.id, { serial: unit.serial, prototype: id }]),
    ),
  );
  const of = (kind: string) => ledger.filter((entry) => entry.kind === kind);
  const levels = of('level-measured');
  const deviations = of('level-deviation');
  const noted = of('listening-level').at(-1);
  if (!plays(plan) && levels.length === 0 && deviations.length === 0 && !noted) return undefined;
  const loudness = levelIn(noted?.body);
  return {
    matched: matchedOf(ledger, story, units),
    levels: levelsOf(levels, units),
    deviations: deviations.map(({ at, actor, body }) => ({
      at,
      by: actor.replace(/^staff:/, ''),
      reason: String(body.reason ?? ''),
      of: list(body.of).map((one) => ({
        serial: typeof one.unit === 'string' ? (units.get(one.unit)?.serial ?? one.unit) : null,
        kind: String(one.kind ?? ''),
      })),
    })),
    connections: tally(of('sound-checked').map(({ body }) => String(body.connection ?? 'unknown'))),
    interruptions: interruptionsOf(of('sound-interrupted'), story, told),
    rates: ratesOf(ledger, told),
    ...loudness,
    heard: plays(plan) ? heardOf(story, loudness) : null,
  };
}

function matchedOf(ledger: readonly LedgerEntry[], { plan }: StudyStory, units: UnitNames): SoundFindings['matched'] {
  const matches = matchesIn(ledger);
  const last = matches.at(-1);
  if (!last) return null;
  const { match } = last;
  return {
    at: last.at,
    by: match.by,
    times: matches.length,
    excerpts: match.excerpts.map((excerpt) => ({
      excerpt: excerpt.id,
      name: plan.excerpts.find(({ id }) => id === excerpt.id)?.name ?? excerpt.id,
      ...excerptFigures(excerpt),
    })),
    units: match.units.map((one) => ({ ...one, serial: units.get(one.unit)?.serial ?? one.unit })),
    moved: movedOf(playedIn(ledger), units),
    warnings: match.warnings,
  };
}

/** Those by which anything was played. */
function playedIn(ledger: readonly LedgerEntry[]): MatchEntry[] {
  const made = ledger.filter(({ kind }) => kind === 'sound-made').map(({ seq }) => seq);
  const matches = matchesIn(ledger);
  return matches.filter(({ seq }, at) => {
    const next = matches[at + 1]?.seq ?? Number.POSITIVE_INFINITY;
    return made.some((one) => one > seq && one < next);
  });
}

/** Against the mean of all units, since another device or drive moves all of them alike. */
function movedOf(matches: readonly MatchEntry[], units: UnitNames): { serial: string; by: number }[] {
  return [...units].flatMap(([id, { serial }]) => {
    const levels = matches.flatMap(({ match }) => {
      const excerpt = match.units[0]?.excerpt;
      const all = match.units.filter((one) => one.excerpt === excerpt);
      const own = all.find(({ unit }) => unit === id);
      const mean = all.reduce((sum, { level }) => sum + level, 0) / Math.max(1, all.length);
      return own ? [own.level - mean] : [];
    });
    const by = Math.max(...levels) - Math.min(...levels);
    return levels.length > 1 && judgeLevel('coupler', by) !== 'passes' ? [{ serial, by }] : [];
  });
}

function excerptFigures({ rate, from, to, files }: MatchedExcerpt) {
  const spread = (levels: readonly number[]) => Math.max(...levels) - Math.min(...levels);
  // Anchors keep the gain of their reference, and are as loud as what was taken off leaves them.
  const levelled = files.filter(({ lowPassHz }) => lowPassHz === undefined);
  const after = spread(levelled.map((file) => file.after.level));
  const lags = files.map(({ lag }) => lag);
  const known = lags.filter((lag) => lag !== null);
  return {
    rate,
    seconds: (to - from) / rate,
    files: files.length,
    before: spread(levelled.map((file) => file.before.level)),
    after,
    judged: judgeLevel('file', after),
    gain: Math.min(...files.map(({ gain }) => gain)),
    truePeak: Math.max(...files.map((file) => file.after.truePeak)),
    lag: known.length === lags.length ? spread(known) : null,
  };
}

function levelsOf(entries: readonly LedgerEntry[], units: UnitNames): SoundFindings['levels'] {
  return [...units].flatMap(([unit, { serial, prototype }]) => {
    const own = entries.filter(({ body }) => body.unit === unit);
    const last = own.at(-1)?.body;
    if (!last) return [];
    return [
      {
        unit,
        serial,
        prototype,
        on: String(last.measuredOn ?? ''),
        left: Number(last.left),
        right: Number(last.right),
        device: String(last.device ?? ''),
        method: String(last.method ?? ''),
        curve: last.response !== null && last.response !== undefined,
        times: own.length,
      },
    ];
  });
}

/** Practice isn't scored, so what disturbed it isn't counted. */
function interruptionsOf(
  entries: readonly LedgerEntry[],
  { plan }: StudyStory,
  told: readonly Told[],
): SoundFindings['interruptions'] {
  const scored = new Map<string, Told['trial']>(
    told.filter(({ trial }) => !trial.practice).map(({ trial }) => [trial.id, trial]),
  );
  const counted = entries.map(({ body }) => body).filter(({ trial }) => scored.has(String(trial)));
  const trials = [...new Set(counted.map(({ trial }) => String(trial)))];
  return {
    trials: trials.length,
    // By what became of them and not by the rule, which an amendment may have changed on the way.
    void: trials.filter((trial) => scored.get(trial)?.state === 'void').length,
    times: counted.length,
    by: tally(counted.map(({ what }) => String(what ?? ''))),
    rule: plan.sound?.interruption ?? null,
  };
}

function ratesOf(ledger: readonly LedgerEntry[], told: readonly Told[]): SoundFindings['rates'] {
  const rates = new Map(matchesIn(ledger).flatMap(({ match }) => match.excerpts.map(({ id, rate }) => [id, rate])));
  const outputs = new Map<string, SoundFindings['rates']['outputs'][number]>();
  const sums = { same: 0, other: 0, unknown: 0 };
  for (const { trial, excerpt } of told) {
    const file = rates.get(excerpt ?? '');
    if (trial.practice || trial.state !== 'answered' || file === undefined) continue;
    const output = trial.outputRate;
    sums[output === null ? 'unknown' : output === file ? 'same' : 'other']++;
    if (output === null) continue;
    const key = `${file} ${output}`;
    const one = outputs.get(key) ?? { file, output, answers: 0 };
    outputs.set(key, { ...one, answers: one.answers + 1 });
  }
  return { ...sums, outputs: [...outputs.values()].sort((a, b) => a.file - b.file || a.output - b.output) };
}

/** What was noted last counts, and where it came to no estimate the level is unknown. */
function levelIn(body: Body | undefined): Pick<SoundFindings, 'level' | 'sensitive'> {
  if (!body) return { level: null, sensitive: false };
  const { estimate, sensitive } = listeningLevelSchema.parse(body);
  if (!estimate) return { level: null, sensitive };
  const { laeq, uncertaintyDb: uncertainty, method } = estimate;
  return { level: { laeq, uncertainty, method }, sensitive };
}

const hourMs = 3_600_000;
const weekMs = 7 * 24 * hourMs;

/** Practice and spoilt trials are heard like others. */
function heardOf(
  { sittings }: StudyStory,
  { level, sensitive }: Pick<SoundFindings, 'level' | 'sensitive'>,
): SoundFindings['heard'] {
  const msOf = ({ trials }: Pick<StudyStory['sittings'][number], 'trials'>) =>
    trials.flatMap(({ soundedMs }) => soundedMs).reduce((sum, ms) => sum + ms, 0);
  const sitting = Math.max(0, ...sittings.map(msOf));
  const listeners = new Set(sittings.map(({ listener }) => listener));
  const week = Math.max(
    0,
    ...[...listeners].map((one) => mostInAWeek(sittings.filter(({ listener }) => listener === one))),
  );
  const shareOf = (ms: number, scheme: DoseScheme) =>
    level === null ? null : dose([{ laeq: level.laeq, hours: ms / hourMs }], scheme).share;
  return {
    sittingMinutes: sitting / 60_000,
    weekMinutes: week / 60_000,
    day: shareOf(sitting, 'day'),
    week: shareOf(week, sensitive ? 'week-sensitive' : 'week'),
  };
}

/** The most milliseconds of sound in any seven days, by when answers came in. */
function mostInAWeek(sittings: StudyStory['sittings']): number {
  const heard = sittings
    .flatMap(({ trials }) => trials)
    .flatMap(({ answeredAt, soundedMs }) =>
      answeredAt === null ? [] : [{ at: Date.parse(answeredAt), ms: soundedMs.reduce((sum, ms) => sum + ms, 0) }],
    );
  return Math.max(
    0,
    ...heard.map((from) =>
      heard.filter(({ at }) => at >= from.at && at < from.at + weekMs).reduce((sum, { ms }) => sum + ms, 0),
    ),
  );
}

function tally(words: readonly string[]): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const word of [...words].sort()) counts[word] = (counts[word] ?? 0) + 1;
  return counts;
}

const list = (value: unknown): Body[] => (Array.isArray(value) ? (value as Body[]) : []);
