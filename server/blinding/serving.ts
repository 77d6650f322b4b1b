import type { TrialPast } from '../../protocols/protocol';
import type { AudienceId, Code, SittingId, StudyId, UnitId } from '../../shared/brands';
import { codesLast, type Plan } from '../../shared/plan';
import type { Db } from '../store/open';
import { type Draw, type DrawnSitting, type DrawnTrial, dayCodes, drawNext, drawSitting, sparesTaken } from './draw';
import { allDraws, drawOf, loadDraw, saveDraw, unitsByCode, workingKey } from './key';
import { record } from './ledger';

/** What the rooms may ask of the key while a study runs. Only codes come back. */

export interface Serving {
  study: StudyId;
  plan: Plan;
  planVersion: number;
  /** The data folder, where the working key lies. */
  folder: string;
  /** Now: when what is drawn is noted in the ledger. */
  at: Date;
}

export interface SeatAddress {
  session: number;
  audience: AudienceId;
  ordinal: number;
  sitting: number;
}

/** A trial as desk and phone may know it. */
export interface BlindTrial {
  ordinal: number;
  practice: boolean;
  codes: Code[];
  shown: number[];
  replaces: number | null;
}

const blind = ({ design, codes }: DrawnTrial): BlindTrial => ({
  ordinal: design.ordinal,
  practice: design.practice,
  codes,
  shown: design.shown,
  replaces: design.replaces,
});

/** The sitting drawn for this seat: as a sheet showed it before, or drawn now. */
export async function serveSitting(tx: Db, serving: Serving, address: SeatAddress): Promise<BlindTrial[]> {
  const drawn = await ensureDrawn(tx, serving, address);
  return drawn.trials.map(blind);
}

export async function ensureDrawn(tx: Db, serving: Serving, address: SeatAddress): Promise<DrawnSitting> {
  const dataKey = workingKey(serving.folder, serving.study);
  const place = { study: serving.study, ...address };
  const there = await loadDraw(tx, dataKey, place);
  if (there && there.sitting === address.sitting) return there;
  const draw = await drawOf(tx, serving.study, dataKey, serving.plan, serving.planVersion);
  const drawn = drawSitting(draw, address, await sparesUsed(tx, serving, draw, dataKey, address.session));
  await saveDraw(tx, dataKey, place, drawn);
  // Codes are taken in the order of these entries, so that a replay can follow.
  const { session, audience, ordinal, sitting } = address;
  const body = { session, audience, ordinal, sitting };
  await record(tx, serving.study, { at: serving.at, actor: 'server', kind: 'drawn', body });
  return drawn;
}

async function sparesUsed(tx: Db, serving: Serving, draw: Draw, dataKey: Buffer, session: number): Promise<number> {
  if (codesLast(serving.plan)) return 0;
  return sparesTaken(draw, session, await allDraws(tx, serving.study, dataKey, session));
}

/** Draws what comes after the planned trials, if anything does. `states` in order of trial ordinal. */
export async function serveNext(
  tx: Db,
  serving: Serving,
  address: SeatAddress,
  states: readonly TrialPast['state'][],
): Promise<BlindTrial | null> {
  const dataKey = workingKey(serving.folder, serving.study);
  const place = { study: serving.study, ...address };
  const drawn = await loadDraw(tx, dataKey, place);
  if (!drawn) throw new Error('A sitting under way has no draw.');
  const history = drawn.trials.map(
    (trial, index): TrialPast => ({
      design: trial.design,
      state: states[index] ?? 'open',
    }),
  );
  const draw = await drawOf(tx, serving.study, dataKey, serving.plan, serving.planVersion);
  const used = await sparesUsed(tx, serving, draw, dataKey, address.session);
  const next = drawNext(draw, address, history, used);
  if (!next) return null;
  await saveDraw(tx, dataKey, place, { ...drawn, trials: [...drawn.trials, next] });
  return blind(next);
}

/** A sample at a seat, or wanted there. */
export interface AtSeat {
  sitting: SittingId;
  code: Code;
}

/** Of the seats that want a sample, those whose sample is out at another seat, under whatever code. */
export async function seatsHeldUp(
  db: Db,
  serving: Serving,
  session: number,
  wanted: readonly AtSeat[],
  out: readonly AtSeat[],
): Promise<Set<SittingId>> {
  if (wanted.length === 0 || out.length === 0) return new Set();
  const dataKey = workingKey(serving.folder, serving.study);
  const units = await unitsByCode(db, serving.study, dataKey, session);
  const heldUp = wanted.filter(({ sitting, code }) =>
    out.some((other) => other.sitting !== sitting && units.get(other.code) === units.get(code)),
  );
  return new Set(heldUp.map(({ sitting }) => sitting));
}

export interface SheetSample {
  code: Code;
  prototype: string;
  serial: string;
  note: string;
}

export interface Sheet {
  day: SheetSample[] | null;
  listeners:
    | { audience: AudienceId; ordinal: number; trials: { trial: BlindTrial; samples: SheetSample[] }[] }[]
    | null;
}

/** The preparation sheet: the one thing made from the key while a study runs. Whoever reads it is named in the ledger. */
export async function sheetOf(
  tx: Db,
  serving: Serving,
  session: number,
  addresses: readonly SeatAddress[],
): Promise<Sheet> {
  const { plan } = serving;
  const sample = (code: Code, unit: UnitId): SheetSample => ({ code, ...nameOf(plan, unit) });
  if (codesLast(plan)) {
    const dataKey = workingKey(serving.folder, serving.study);
    const draw = await drawOf(tx, serving.study, dataKey, plan, serving.planVersion);
    const rows = [...dayCodes(draw, session)].map(([unit, code]) => sample(code, unit));
    return { day: rows.sort((a, b) => (a.code < b.code ? -1 : 1)), listeners: null };
  }
  const listeners = [];
  for (const address of addresses) {
    const drawn = await ensureDrawn(tx, serving, address);
    listeners.push({
      audience: address.audience,
      ordinal: address.ordinal,
      trials: drawn.trials.map((trial) => ({
        trial: blind(trial),
        samples: trial.codes.map((code, index) => sample(code, trial.units[index] as UnitId)),
      })),
    });
  }
  return { day: null, listeners };
}

/** How a unit is called in the plan. */
export function nameOf(plan: Plan, unit: UnitId): { prototype: string; serial: string; note: string } {
  for (const prototype of plan.prototypes) {
    const found = prototype.units.find((candidate) => candidate.id === unit);
    if (found) return { prototype: prototype.name, serial: found.serial, note: found.note ?? '' };
  }
  throw new Error('A unit of the draw is not in the plan.');
}
