import { createHash } from 'node:crypto';
import { z } from 'zod';
import type { StaffId } from '../../shared/brands';
import { levelsCount, type Plan, plays } from '../../shared/plan';
import { type ResponseCurve, readResponse } from '../audio/response-curve';
import { ResponseError } from '../audio/response-error';
import type { Command, Context } from '../command';
import { newId } from '../ids';
import { insertUnitLevel } from '../store/levels';
import { currentSession } from '../store/sessions';
import { dropSoundMatch } from '../store/study-sounds';
import { Refusal } from '../web/refusal';
import { planGiven, samePlan } from './plan-given';

export const levelLimits = { least: -40, most: 160, device: 120, method: 300, note: 200, response: 60_000 } as const;

/** A number as people type it, with a point or a comma, and whatever minus they find. */
export const numberTyped = (typed: string): number => Number(typed.replace(',', '.').replace('−', '-'));

const typedNumber = (words: string) =>
  z
    .string()
    .trim()
    .min(1)
    .regex(/^[-−]?\d{1,6}(?:[.,]\d{1,6})?$/, words)
    .transform(numberTyped);

const decibels = typedNumber('a number of decibels, such as 94.2').pipe(
  z.number().min(levelLimits.least).max(levelLimits.most),
);
const date = z
  .string()
  .trim()
  .regex(/^\d{4}-\d\d-\d\d$/, 'a date such as 2026-03-02')
  .refine((typed) => typed >= '2000-01-01' && new Date(`${typed}T00:00:00Z`).toJSON()?.startsWith(typed), {
    error: 'There is no such date, or it is long ago.',
  });
const line = (most: number) => z.string().trim().min(1).max(most);

const noting = planGiven.extend({
  unit: z.string().max(64),
  left: decibels,
  right: decibels,
  measuredOn: date,
  device: line(levelLimits.device),
  method: line(levelLimits.method),
  response: z.string().max(levelLimits.response).default(''),
});

/** How loud a unit is in each ear, by whom it was measured and how; its response as well, if there is one. */
export const noteLevel: Command<z.output<typeof noting>> = {
  name: 'note-level',
  does: 'note a level',
  states: ['draft', 'locked', 'running'],
  who: 'staff',
  input: noting,
  labels: {
    unit: 'The unit',
    left: 'The level of the left ear',
    right: 'The level of the right ear',
    measuredOn: 'The day of the measurement',
    device: 'The device',
    method: 'The method',
    response: 'The response',
  },
  async run(context, input) {
    const { tx, study, actor, at } = context;
    const { plan, unit, left, right, measuredOn, device, method } = input;
    samePlan(study, input);
    const serial = serialOf(plan, unit);
    if (actor.kind !== 'staff') throw new Refusal('barred', 'This is not yours to do.');
    refuseFuture(measuredOn, at, 'measuredOn');
    const response = input.response.trim() === '' ? null : input.response;
    const curve = response === null ? null : responseOf(response);
    await levelsMove(context, plan);
    await insertUnitLevel(tx, {
      id: newId(at),
      study_id: study.id,
      unit_id: unit,
      left_db: left,
      right_db: right,
      measured_on: measuredOn,
      device,
      method,
      response,
      staff_id: actor.id as StaffId,
      at: at.toISOString(),
    });
    await context.record('level-measured', {
      ...{ unit, serial, left, right, measuredOn, device, method },
      response: response === null ? null : { sha256: createHash('sha256').update(response).digest('hex'), ...curve },
    });
  },
};

const reworking = planGiven.extend({
  reworked: z.string().max(64),
  on: date,
  note: line(levelLimits.note),
});

/** Somebody has worked on a unit: what it measured before says nothing any more. */
export const noteRework: Command<z.output<typeof reworking>> = {
  name: 'note-rework',
  does: 'note that a unit was reworked',
  states: ['draft', 'locked', 'running'],
  who: 'staff',
  input: reworking,
  labels: { reworked: 'The unit', on: 'The day', note: 'What was done' },
  async run(context, input) {
    const { study, at } = context;
    const { plan, reworked, on, note } = input;
    samePlan(study, input);
    const serial = serialOf(plan, reworked, 'reworked');
    refuseFuture(on, at, 'on');
    await levelsMove(context, plan);
    await context.record('unit-reworked', { unit: reworked, serial, on, note });
  },
};

function serialOf(plan: Plan, unit: string, path = 'unit'): string {
  const found = levelsCount(plan)
    ? plan.prototypes.flatMap(({ units }) => units).find(({ id }) => id === unit)
    : undefined;
  if (!found) throw new Refusal('bad-input', 'Choose the unit that it is about.', { path });
  return found.serial;
}

const day = 86_400_000;
function refuseFuture(date: string, now: Date, path: string): void {
  // Wherever on earth it is tomorrow already.
  if (Date.parse(date) <= now.getTime() + day) return;
  throw new Refusal('bad-input', 'That day is still to come.', { path, got: date });
}

function responseOf(csv: string): ResponseCurve {
  try {
    return readResponse(csv);
  } catch (error) {
    if (error instanceof ResponseError) throw new Refusal('bad-input', error.message, { path: 'response' });
    throw error;
  }
}

/** Files of units are made by their levels, so they must be matched anew; and nobody's trim changes while they listen. */
async function levelsMove({ tx, study }: Context, plan: Plan): Promise<void> {
  if (!plays(plan)) return;
  if (study.state === 'running' && (await currentSession(tx, study.id))) {
    throw new Refusal(
      'conflict',
      'A session is open, and what plays is made by these levels. Close it before a level changes.',
      { path: 'unit' },
    );
  }
  await dropSoundMatch(tx, study.id);
}
