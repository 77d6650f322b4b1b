import { z } from 'zod';
import type { StaffId } from '../../shared/brands';
import { type ListeningGiven, type ListeningLevel, listeningLevelSchema } from '../../shared/listening-level';
import { levelsCount, type Plan, plays } from '../../shared/plan';
import { aWeightedLevel } from '../audio/a-weighting';
import { dose, judgeDose } from '../audio/dose';
import { estimateListeningLevel } from '../audio/listening-level';
import type { Command } from '../command';
import type { Parts } from '../parts';
import { soundReady } from '../sound-ready';
import { putListeningLevel } from '../store/levels';
import type { StudyRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { numberTyped } from './level-commands';
import { planGiven, samePlan } from './plan-given';

/** Left out is unknown, and never 0. */
const maybe = (words: string, range: z.ZodType<number, number>) =>
  z
    .string()
    .trim()
    .regex(/^(?:[-−]?\d{1,6}(?:[.,]\d{1,6})?)?$/, words)
    .transform((typed) => (typed === '' ? null : numberTyped(typed)))
    .pipe(range.nullable())
    .default(null);
const within = (low: number, high: number) => z.number().min(low).max(high);

export const listeningFields = [
  ...(['method', 'sensitivity', 'per', 'impedance', 'volts', 'volume', 'programme'] as const),
  ...(['reading', 'signal', 'diffuseField', 'diffuseSource', 'sensitive'] as const),
];

const noting = planGiven.extend({
  /** Minutes of a sitting, as the plan page counts them. */
  minutes: z.number(),
  method: z.enum(['sensitivity', 'coupler']),
  sensitivity: maybe('a number of decibels, such as 112', within(20, 200)),
  per: z.enum(['volt', 'milliwatt']).default('volt'),
  impedance: maybe('a number of ohms, such as 16', within(0.5, 10_000)),
  volts: maybe('a number of volts, such as 0.5', within(0.001, 50)),
  volume: maybe('a number of decibels, 0 or less, such as −20', within(-120, 0)),
  programme: maybe('a number of decibels, such as −23', within(-120, 3)),
  reading: maybe('a number of decibels, such as 78', within(20, 150)),
  signal: maybe('a number of decibels, such as −20', within(-120, 3)),
  diffuseField: maybe('a number of decibels, such as 5', within(-20, 20)),
  diffuseSource: z.string().trim().max(200).default(''),
  sensitive: z.enum(['yes', '']).default(''),
});
type Noting = z.output<typeof noting>;

/** What is known of how loud it is at the ear, and what it comes to. */
export const noteListeningLevel: Command<Noting, ListeningLevel> = {
  name: 'note-listening-level',
  does: 'note the listening level',
  states: ['draft', 'locked', 'running'],
  who: 'staff',
  input: noting,
  labels: {
    method: 'The way it is known',
    sensitivity: 'The sensitivity',
    per: 'What the sensitivity is stated at',
    impedance: 'The impedance',
    volts: 'The voltage',
    volume: 'The volume',
    programme: 'The level of the programme',
    reading: 'The reading',
    signal: 'The level of what was read',
    diffuseField: 'The correction',
    diffuseSource: 'The source of the correction',
    sensitive: 'Whether ears are sensitive',
  },
  async prepare(parts, study, input) {
    samePlan(study, input);
    if (input.plan.playback === 'none') {
      throw new Refusal('bad-input', 'By its plan this study plays nothing, so there is no level.', { path: 'method' });
    }
    return levelOf(parts, study, input);
  },
  async run({ tx, study, actor, at, record }, input, level) {
    samePlan(study, input);
    if (actor.kind !== 'staff') throw new Refusal('barred', 'This is not yours to do.');
    await putListeningLevel(tx, {
      study_id: study.id,
      body: JSON.stringify(level),
      staff_id: actor.id as StaffId,
      at: at.toISOString(),
    });
    await record('listening-level', level);
  },
};

async function levelOf(parts: Parts, study: StudyRow, input: Noting): Promise<ListeningLevel> {
  const { plan, minutes } = input;
  const programme = await programmeOf(parts, study, input);
  const given = givenOf(input);
  const { diffuseField, diffuseSource } = input;
  if (diffuseField !== null && diffuseSource === '') {
    throw new Refusal('bad-input', 'Say where the correction is from, such as a table or a paper.', {
      path: 'diffuseSource',
    });
  }
  const field = diffuseField === null ? null : { db: diffuseField, source: diffuseSource };
  const estimate = estimateOf(given, programme, field);
  const sensitive = input.sensitive === 'yes';
  return listeningLevelSchema.parse({
    given,
    programme,
    diffuseField: field,
    sensitive,
    estimate,
    planned: plannedOf(plan, minutes, estimate?.laeq ?? null, sensitive),
  });
}

function givenOf(input: Noting): ListeningGiven {
  if (input.method === 'coupler') return { method: 'coupler', reading: input.reading, signal: input.signal };
  const { sensitivity, per, impedance, volts, volume } = input;
  if (per === 'milliwatt' && impedance === null && sensitivity !== null) {
    throw new Refusal('bad-input', 'A sensitivity at 1 mW needs the impedance, too.', { path: 'impedance' });
  }
  return { method: 'sensitivity', sensitivity, per, impedance, volts, volume };
}

function estimateOf(
  given: ListeningGiven,
  programmeDb: number | null,
  diffuseField: ListeningLevel['diffuseField'],
): ListeningLevel['estimate'] {
  if (given.method === 'coupler') {
    // What was read is the programme itself, unless somebody says what else it was.
    const known = given.signal === null ? 0 : programmeDb;
    return estimateListeningLevel({
      method: 'coupler',
      readingDba: given.reading,
      signalDb: given.signal ?? 0,
      programmeDb: known,
      diffuseField,
    });
  }
  const { sensitivity, per, impedance, volts, volume } = given;
  return estimateListeningLevel({
    method: 'sensitivity',
    sensitivity:
      sensitivity === null
        ? null
        : per === 'volt'
          ? { per, dbSpl: sensitivity }
          : { per, dbSpl: sensitivity, impedanceOhms: impedance ?? 0 },
    fullScaleVolts: volts,
    volumeDb: volume,
    programmeDb,
    diffuseField,
  });
}

/** A-weighted, of the loudest file as it is played; where something else plays, as it was typed. */
async function programmeOf(parts: Parts, study: StudyRow, { plan, programme }: Noting): Promise<number | null> {
  if (!plays(plan)) return programme;
  const { match } = await soundReady(parts.store.db, study, plan);
  if (!match) return null;
  let loudest: number | null = null;
  for (const excerpt of match.excerpts) {
    // Units are as loud as each other by their trims; what is stated is of the quietest, whose files are lowered least.
    const trims = match.units.filter((unit) => unit.excerpt === excerpt.id).map(({ gain }) => gain);
    for (const { sha256, gain, lowPassHz } of excerpt.files) {
      const own = aWeightedLevel(await parts.sounds.cut(sha256, excerpt.from, excerpt.to, lowPassHz));
      const lowered = levelsCount(plan) ? Math.max(...trims) : gain;
      if (own !== null) loudest = Math.max(loudest ?? Number.NEGATIVE_INFINITY, own + lowered);
    }
  }
  return loudest;
}

const weekHours = 7 * 24;
const dayHours = 24;

/** What a listener who comes as often as the plan lets them is given, as if all of a sitting were sound. */
export function plannedOf(
  { sessions }: Pick<Plan, 'sessions'>,
  minutes: number,
  laeq: number | null,
  sensitive: boolean,
): ListeningLevel['planned'] {
  const { count, minimumGapHours: gap } = sessions;
  const every = gap + minutes / 60;
  const most = (hours: number) => Math.min(count, 1 + Math.floor(hours / every));
  const [perWeek, perDay] = [most(weekHours), most(dayHours)];
  const share = (sittings: number, scheme: Parameters<typeof dose>[1]) =>
    dose([{ laeq, hours: (sittings * minutes) / 60 }], scheme).share;
  const week = share(perWeek, sensitive ? 'week-sensitive' : 'week');
  const day = share(perDay, 'day');
  return {
    minutes,
    sittingsPerWeek: perWeek,
    sittingsPerDay: perDay,
    week,
    day,
    judged: judgeDose(week === null || day === null ? null : Math.max(week, day), laeq),
  };
}
