import type { StudyId } from '../shared/brands';
import { listeningLevelSchema } from '../shared/listening-level';
import { levelsCount, type Plan, planLimits } from '../shared/plan';
import { mostPlannedLaeq } from './audio/dose';
import { judgeLevel, judgeMeasurement, type LevelJudgement } from './audio/level-tolerance';
import { ledgerBodies } from './blinding/ledger';
import { type Context, planOf } from './command';
import { listeningLevelOf, type UnitLevelRead, unitLevels } from './store/levels';
import type { Db, StudyRow } from './store/tables';
import { tellsSample, tellsSampleWords } from './tells-sample';
import { Refusal } from './web/refusal';

/**
 * What of the levels stands against locking a plan and opening a session, by the one table of tolerances
 * (audio/level-tolerance.ts), and how somebody signs for it all the same.
 *
 * Where a player at the bench or a device at the seat plays, units must be as loud as each other. Where the listener's
 * page plays, a trim for each unit makes up for that, so that only a level which is missing or old is in the way: a
 * wrong one would be trimmed wrongly. No trim makes up for two ears that differ, so that is looked at in both.
 */

/** `loud` is about listening, and not about a unit. */
export const levelProblemKinds = ['missing', 'reworked', 'stale', 'beyond', 'balance', 'loud'] as const;
export type LevelProblemKind = (typeof levelProblemKinds)[number];

export interface LevelProblem {
  /** Null where it is about no unit. */
  unit: string | null;
  kind: LevelProblemKind;
  /** Which measurement it is about; null where there is none. */
  measurement: string | null;
  words: string;
}

/** A unit as the plan has it, with what counts of its measurements. */
export interface UnitNow {
  id: string;
  serial: string;
  prototype: string;
  /** The newest measurement, whether it still counts or not. */
  newest: UnitLevelRead | null;
  state: 'fresh' | 'stale' | 'reworked' | 'missing';
  /** Decibels of both ears together, and by how much louder than the quietest that counts; null where not measured. */
  level: number | null;
  above: number | null;
  /** Left minus right. */
  balance: number | null;
  aboveJudged: LevelJudgement | null;
  balanceJudged: LevelJudgement | null;
}

/** Where no trim is made for each unit, they must be as loud as each other by themselves. */
export const unitsMustMatch = (plan: Pick<Plan, 'playback'>): boolean =>
  levelsCount(plan) && plan.playback !== 'seat-player';

export const staleDaysOf = ({ levels }: Pick<Plan, 'levels'>): number => levels?.staleDays ?? planLimits.stale.usual;

/** Both ears together, as the mean of their powers. */
const together = ({ left_db, right_db }: Pick<UnitLevelRead, 'left_db' | 'right_db'>): number =>
  10 * Math.log10((10 ** (left_db / 10) + 10 ** (right_db / 10)) / 2);

/** The units of a plan with their levels as they count now. */
export async function unitsNow(db: Db, study: StudyId, plan: Plan, now: Date): Promise<UnitNow[]> {
  if (!levelsCount(plan)) return [];
  const rows = await unitLevels(db, study);
  const reworks = await ledgerBodies(db, study, ['unit-reworked']);
  const units = plan.prototypes.flatMap(({ name, units: own }) =>
    own.map(({ id, serial }): UnitNow => {
      const newest = rows.find(({ unit_id }) => unit_id === id) ?? null;
      const rework = reworks.filter(({ body }) => body.unit === id).at(-1);
      return {
        ...{ id, serial, prototype: name, newest },
        state: stateOf(newest, rework, staleDaysOf(plan), now),
        level: newest && together(newest),
        balance: newest && newest.left_db - newest.right_db,
        // No ear is further from the level that both together were matched to than half of what they differ by.
        balanceJudged: newest && judgeLevel('coupler', (newest.left_db - newest.right_db) / 2),
        ...{ above: null, aboveJudged: null },
      };
    }),
  );
  const counting = units.flatMap(({ state, level }) => (level !== null && state !== 'reworked' ? [level] : []));
  const quietest = Math.min(...counting);
  return units.map((unit) => {
    if (unit.level === null || unit.state === 'reworked') return unit;
    const above = unit.level - quietest;
    return { ...unit, above, aboveJudged: judgeLevel('coupler', above) };
  });
}

function stateOf(
  newest: UnitLevelRead | null,
  rework: { at: string; body: Record<string, unknown> } | undefined,
  staleDays: number,
  now: Date,
): UnitNow['state'] {
  if (!newest) return 'missing';
  if (rework && (newest.at <= rework.at || newest.measured_on < String(rework.body.on))) return 'reworked';
  // The day that it was measured counts whole.
  return judgeMeasurement({ measuredAt: new Date(`${newest.measured_on}T23:59:59Z`), now, staleDays });
}

/** What stands in the way of the level at the ear, if anything does. */
async function loudProblems(db: Db, study: StudyId): Promise<LevelProblem[]> {
  const row = await listeningLevelOf(db, study);
  const level = row && listeningLevelSchema.parse(JSON.parse(row.body));
  if (!row || !level?.estimate || level.planned.judged !== 'hold') return [];
  const { laeq, uncertaintyDb } = level.estimate;
  const words =
    laeq > mostPlannedLaeq
      ? `Listeners hear an estimated ${laeq.toFixed(0)} dBA (within ${uncertaintyDb.toFixed(0)} dB), above ${mostPlannedLaeq} dBA.`
      : 'By the estimate of the listening level, the planned sittings take all that a week or a day allows.';
  return [{ unit: null, kind: 'loud', measurement: row.at, words }];
}

/** What stands in the way, unit by unit; empty when levels are as they must be. */
export async function levelProblems(db: Db, study: StudyId, plan: Plan, now: Date): Promise<LevelProblem[]> {
  const mustMatch = unitsMustMatch(plan);
  const loud = await loudProblems(db, study);
  const ofUnits = (await unitsNow(db, study, plan, now)).flatMap((unit): LevelProblem[] => {
    const { id, serial, state, newest, above, aboveJudged, balance, balanceJudged } = unit;
    const found = (kind: LevelProblemKind, words: string): LevelProblem => ({
      unit: id,
      kind,
      measurement: newest?.id ?? null,
      words,
    });
    if (state === 'missing' || !newest) return [found('missing', `${serial} was never measured.`)];
    if (state === 'reworked') return [found('reworked', `${serial} was reworked and not measured since.`)];
    return [
      ...(state === 'stale'
        ? [found('stale', `${serial} was measured on ${newest.measured_on}, more than ${staleDaysOf(plan)} days ago.`)]
        : []),
      ...(mustMatch && aboveJudged === 'beyond'
        ? [found('beyond', `${serial} is ${(above ?? 0).toFixed(1)} dB louder than the quietest unit.`)]
        : []),
      ...(balanceJudged === 'beyond'
        ? [found('balance', `The ears of ${serial} differ by ${Math.abs(balance ?? 0).toFixed(1)} dB.`)]
        : []),
    ];
  });
  return [...ofUnits, ...loud];
}

/** What was signed for, told again later, whatever was measured since. */
export function levelProblemWords(
  { unit, kind }: Pick<LevelProblem, 'unit' | 'kind'>,
  units: readonly UnitNow[],
): string {
  if (kind === 'loud') return 'louder than is planned for without a signature';
  const serial = units.find(({ id }) => id === unit)?.serial ?? 'a unit that is no more';
  const words: Record<Exclude<LevelProblemKind, 'loud'>, string> = {
    missing: 'never measured',
    reworked: 'reworked and not measured since',
    stale: 'measurement out of date',
    beyond: 'too much louder than the quietest',
    balance: 'ears differ too much',
  };
  return `${serial}: ${words[kind]}`;
}

const deviated = 'level-deviation';

/** What was signed for holds for that measurement: one that is taken anew and is no better is signed for anew. */
const keyOf = ({ unit, kind, measurement }: Pick<LevelProblem, 'unit' | 'kind' | 'measurement'>): string =>
  `${unit ?? ''} ${kind} ${measurement ?? ''}`;

/** What is in the way and nobody has signed for. */
export async function uncoveredLevels(db: Db, study: StudyId, plan: Plan, now: Date): Promise<LevelProblem[]> {
  const problems = await levelProblems(db, study, plan, now);
  if (problems.length === 0) return problems;
  const signed = (await ledgerBodies(db, study, [deviated])).flatMap(({ body }) =>
    Array.isArray(body.of) ? (body.of as LevelProblem[]).map(keyOf) : [],
  );
  return problems.filter((problem) => !signed.includes(keyOf(problem)));
}

export interface Uncovered {
  /** Of units, how many. */
  count: number;
  loud: boolean;
}

/** What is in the way and unsigned for, without which: all that a room may know which hands units over. */
export async function uncoveredBlind(db: Db, study: StudyRow, now: Date): Promise<Uncovered> {
  const open = await uncoveredLevels(db, study.id, planOf(study), now);
  return {
    count: new Set(open.flatMap(({ unit }) => (unit === null ? [] : [unit]))).size,
    loud: open.some(({ kind }) => kind === 'loud'),
  };
}

export const deviationLimits = { min: 3, max: 300 } as const;

/**
 * Writes into the ledger, signed, that somebody goes on though levels aren't as they must be. Nothing is written where
 * nothing is in the way.
 *
 * @param refusal what is said to whoever gave no reason; `null` says it unit by unit, to those who may know units
 * @throws Refusal by the field `deviation` when something is in the way and no reason was given
 */
export async function coverLevels(
  { tx, study, at, record }: Context,
  plan: Plan,
  reason: string,
  refusal: string | null = null,
): Promise<void> {
  const open = await uncoveredLevels(tx, study.id, plan, at);
  if (open.length === 0) return;
  const refuse = (message: string) => new Refusal('bad-input', message, { path: 'deviation' });
  if (reason.length < deviationLimits.min) throw refuse(refusal ?? deviationWanted(open));
  if (tellsSample(plan, reason)) throw refuse(tellsSampleWords);
  await record(deviated, { reason, of: open.map(({ unit, kind, measurement }) => ({ unit, kind, measurement })) });
}

/** The same by whoever opens a session and can't be told which units it is about. */
export const coverLevelsBlindly = (context: Context, reason: string, refusal: string): Promise<void> =>
  coverLevels(context, planOf(context.study), reason, refusal);

const deviationWanted = (open: readonly LevelProblem[]): string => {
  const said = open.slice(0, 3).map(({ words }) => words);
  const more = open.length > 3 ? ` And ${open.length - 3} more.` : '';
  return `Levels are not as they must be: ${said.join(' ')}${more} Put that right under Prepare, or say why it goes on all the same.`;
};
