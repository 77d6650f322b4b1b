import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { type LevelJudgement, levelTolerances } from '../audio/level-tolerance';
import { staleDaysOf, type UnitNow, unitsMustMatch } from '../level-problems';
import { decimals } from '../number-words';
import type { UnitLevelRead } from '../store/levels';
import { utcMinute } from '../time-words';
import { fieldOf, type Values } from '../web/forms';
import type { LevelForm, LevelHistory, LevelRow, ReworkForm } from './view-models';

export const levelFields = ['unit', 'left', 'right', 'measuredOn', 'device', 'method', 'response'] as const;
export const reworkFields = ['reworked', 'on', 'note'] as const;

const judgedWords: Record<LevelJudgement, string> = {
  passes: 'within tolerance',
  warns: 'reported',
  beyond: 'beyond',
};

/** By what the table judges, in sentences. */
export function levelRules(plan: Plan): string[] {
  const { passes, warns } = levelTolerances.coupler;
  const table = `Up to ${passes}\u00a0dB passes; up to ${warns}\u00a0dB is reported; beyond needs a reason that is signed, at locking and at opening.`;
  return [
    'Measure every unit at 1\u00a0kHz in both ears, all with one device, one drive and one method. Only differences count.',
    unitsMustMatch(plan)
      ? `Units play at their own level, so each is compared to the quietest. ${table}`
      : `The page plays a file made for each unit, which makes up for differences between units, but not between its ears. Each ear is compared to the mean of both. ${table}`,
    `A measurement holds for ${staleDaysOf(plan)} days, and ends when the unit is reworked.`,
  ];
}

export function levelRow(plan: Plan, unit: UnitNow): LevelRow {
  const { serial, prototype, newest, state, above, aboveJudged, balance, balanceJudged } = unit;
  const mustMatch = unitsMustMatch(plan);
  const judged = (value: number | null, judgement: LevelJudgement | null) =>
    value === null || judgement === null
      ? null
      : { words: `${decimals(value, 1)}\u00a0dB`, judged: judgedWords[judgement], kind: judgement };
  return {
    serial,
    prototype,
    left: newest ? decimals(newest.left_db, 1) : null,
    right: newest ? decimals(newest.right_db, 1) : null,
    measuredOn: newest?.measured_on ?? null,
    response: newest !== null && newest.response !== null,
    above: mustMatch
      ? judged(above, aboveJudged)
      : above === null
        ? null
        : { words: `${decimals(above, 1)}\u00a0dB`, judged: 'trimmed', kind: 'passes' },
    balance: judged(balance, balanceJudged),
    state: state === 'fresh' ? null : state,
    stateWords: {
      fresh: '',
      stale: 'out of date: measure again',
      reworked: 'reworked since: measure again',
      missing: 'never measured',
    }[state],
  };
}

export const unitChoices = (units: readonly UnitNow[], chosen: string) =>
  units.map(({ id, serial, prototype }) => ({ value: id, label: `${serial} · ${prototype}`, chosen: id === chosen }));

export function levelForm(
  base: string,
  units: readonly UnitNow[],
  kept: readonly UnitLevelRead[],
  today: string,
  values: Values,
  problems: readonly Problem[],
): LevelForm {
  const [last] = kept;
  const next = units.find(({ state }) => state !== 'fresh') ?? units[0];
  // What is the same for all of them is typed once.
  const usual: Values = {
    unit: next?.id ?? '',
    measuredOn: today,
    device: last?.device ?? '',
    method: last?.method ?? '',
  };
  const shown: Values = { ...usual, ...values };
  return {
    action: `${base}/levels/note`,
    units: unitChoices(units, shown.unit ?? ''),
    unit: fieldOf(shown, problems, 'unit'),
    left: fieldOf(shown, problems, 'left'),
    right: fieldOf(shown, problems, 'right'),
    measuredOn: fieldOf(shown, problems, 'measuredOn'),
    device: fieldOf(shown, problems, 'device'),
    method: fieldOf(shown, problems, 'method'),
    response: fieldOf(shown, problems, 'response'),
  };
}

export function reworkForm(
  base: string,
  units: readonly UnitNow[],
  today: string,
  values: Values,
  problems: readonly Problem[],
): ReworkForm {
  const shown: Values = { on: today, ...values };
  return {
    action: `${base}/levels/rework`,
    units: unitChoices(units, shown.reworked ?? ''),
    reworked: fieldOf(shown, problems, 'reworked'),
    on: fieldOf(shown, problems, 'on'),
    note: fieldOf(shown, problems, 'note'),
    open: problems.some(({ path }) => (reworkFields as readonly string[]).includes(path)),
  };
}

export const historyOf = (units: readonly UnitNow[], kept: readonly UnitLevelRead[]): LevelHistory[] =>
  kept.flatMap((row) => {
    const unit = units.find(({ id }) => id === row.unit_id);
    if (!unit) return [];
    return [
      {
        serial: unit.serial,
        left: decimals(row.left_db, 1),
        right: decimals(row.right_db, 1),
        measuredOn: row.measured_on,
        device: row.device,
        method: row.method,
        response: row.response !== null,
        by: row.by,
        at: utcMinute(row.at),
        counts: unit.newest?.id === row.id && unit.state !== 'reworked',
      },
    ];
  });
