import { nextTrial, plannedSitting, trialsOfSitting } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { Seat, TrialDesign, TrialPast } from '../../protocols/protocol';
import { type Randomness, shuffled } from '../../protocols/random';
import type { AudienceId, Code, PrototypeId, UnitId } from '../../shared/brands';
import { codesLast, type Plan } from '../../shared/plan';
import { Refusal } from '../web/refusal';
import { shuffledCodes } from './codes';
import { randomnessOf } from './randomness';

/**
 * The draw: each allocation is a function of the seed, the version of the plan and its own address (audience, order of
 * joining, session, sitting, trial), and of nothing else. Only what is added on the day (a trial put again, a walk-in)
 * takes codes from the back of the session's list, in the order of the ledger.
 */

export interface Address extends Seat {
  /** Codes are new for every session, whoever sits in it. */
  session: number;
}

/** What is heard in a trial. */
export interface DrawnSamples {
  design: TrialDesign;
  /** In order of presentation; none where the server plays renders. */
  units: UnitId[];
  /** The piece that all samples of the trial play, where the listener's page plays. */
  excerpt?: string;
}

export interface DrawnTrial extends DrawnSamples {
  codes: Code[];
}

export interface DrawnSitting {
  sitting: number;
  trials: DrawnTrial[];
}

export interface Draw {
  seed: Buffer;
  planVersion: number;
  plan: Plan;
}

function randomness(draw: Draw, audience: AudienceId): Randomness {
  return randomnessOf(draw.seed, draw.planVersion, 'audience', audience);
}

/** Trials of a sitting as planned, practice first. */
function designs(draw: Draw, seat: Seat): TrialDesign[] {
  return plannedSitting(draw.plan, seat, randomness(draw, seat.audience));
}

/** How many codes a planned sitting takes in two-person mode. */
export function codesPerSitting(plan: Plan): number {
  const { protocol, spec, form } = methodOf(plan);
  return trialsOfSitting(plan) * form.presentations + protocol.practicePresentations(spec);
}

/** All codes of a session in the order in which they are taken. */
export function sessionCodes(draw: Draw, session: number): Code[] {
  return shuffledCodes(randomnessOf(draw.seed, draw.planVersion, 'codes').at('session', session));
}

/**
 * Which unit of a prototype this sitting hears: each equally often over listeners, another in the next sitting. `beside`:
 * the one that is heard beside it where two units of one prototype are put together.
 */
function unitFor(draw: Draw, seat: Seat, prototype: PrototypeId, beside: boolean): UnitId {
  const units = draw.plan.prototypes.find((candidate) => candidate.id === prototype)?.units ?? [];
  const offset = randomness(draw, seat.audience).at('unit', prototype).below(Math.max(1, units.length));
  const unit = units[(offset + seat.ordinal + seat.sitting + (beside ? 1 : 0)) % units.length];
  if (!unit) throw new Error('A prototype of the plan has no unit.');
  return unit.id as UnitId;
}

/**
 * Which piece a trial is about. With one sample a trial, all of a sitting are heard with one piece, another in the next
 * sitting; else pieces go round within a sitting, each equally often to within one. A trial put again keeps its piece.
 */
function excerptFor(draw: Draw, seat: Seat, design: TrialDesign, ordinal: number): string | undefined {
  const { excerpts } = draw.plan;
  const random = (...path: (string | number)[]) => randomness(draw, seat.audience).at('excerpt', ...path);
  if (excerpts.length === 0 || design.presentations.length === 0) return undefined;
  if (design.round !== undefined) {
    const { length } = excerpts;
    const cycle = Math.floor(design.round / length);
    return shuffled(excerpts, random('listener', seat.ordinal, 'cycle', cycle))[design.round % length]?.id;
  }
  if (methodOf(draw.plan).form.presentations === 1) {
    const offset = random('all').below(excerpts.length);
    return excerpts[(offset + seat.ordinal + seat.sitting) % excerpts.length]?.id;
  }
  const place = Math.max(0, ordinal - 1);
  const round = Math.floor(place / excerpts.length);
  const order = shuffled(excerpts, random('listener', seat.ordinal, 'sitting', seat.sitting, 'round', round));
  return order[place % excerpts.length]?.id;
}

/** In day-code mode a unit keeps one code for the whole session. */
export function dayCodes(draw: Draw, session: number): Map<UnitId, Code> {
  const codes = sessionCodes(draw, session);
  const units = draw.plan.prototypes.flatMap((prototype) => prototype.units.map((unit) => unit.id as UnitId));
  return new Map(units.map((unit, index) => [unit, codes[index] as Code]));
}

/** Where this sitting's codes begin in the session's list; null for a walk-in beyond the planned listeners. */
function plannedSlot(plan: Plan, address: Address): number | null {
  let slot = 0;
  for (const audience of plan.audiences) {
    if (audience.id === address.audience) {
      return address.ordinal <= audience.listeners ? slot + address.ordinal - 1 : null;
    }
    slot += audience.listeners;
  }
  return null;
}

/** Three digits go only so far. */
export class NoCodesLeft extends Refusal {
  constructor() {
    super('conflict', 'This session has no codes left. Close it and open the next one.', { path: 'session' });
  }
}

/** Takes codes from the back of the session's list. @throws NoCodesLeft when the session has none left. */
function spareCodes(draw: Draw, session: number, used: number, count: number): Code[] {
  const codes = sessionCodes(draw, session);
  const planned = draw.plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  const front = planned * codesPerSitting(draw.plan);
  if (front + used + count > codes.length) {
    throw new NoCodesLeft();
  }
  return codes.slice(codes.length - used - count, codes.length - used).reverse();
}

/** The place of the trial that this one puts again, however often it was put again since; else its own. */
function first(design: TrialDesign, history: readonly TrialPast[]): number {
  let at = design;
  while (at.replaces !== null) {
    const spoilt = history.find((past) => past.design.ordinal === at.replaces)?.design;
    if (!spoilt) return at.replaces;
    at = spoilt;
  }
  return at.ordinal;
}

/** Units and pieces for the trials of one sitting. */
function withSamples(
  draw: Draw,
  seat: Seat,
  trials: readonly TrialDesign[],
  history: readonly TrialPast[] = [],
): DrawnSamples[] {
  const handed = draw.plan.handling !== 'server';
  // A sitting hears the same unit of a prototype throughout.
  const known = new Map<string, UnitId>();
  const unitAt = (prototype: PrototypeId, beside: boolean): UnitId => {
    const key = `${prototype} ${beside}`;
    const unit = known.get(key) ?? unitFor(draw, seat, prototype, beside);
    known.set(key, unit);
    return unit;
  };
  return trials.map((design) => {
    const beside = (place: number) => design.otherUnits?.includes(place) ?? false;
    const excerpt = excerptFor(draw, seat, design, first(design, history));
    return {
      design,
      units: handed ? design.presentations.map((prototype, place) => unitAt(prototype, beside(place))) : [],
      ...(excerpt === undefined ? {} : { excerpt }),
    };
  });
}

function withCodes(
  draw: Draw,
  address: Address,
  trials: readonly TrialDesign[],
  fresh: (count: number) => Code[],
  history: readonly TrialPast[] = [],
): DrawnTrial[] {
  const dayMode = codesLast(draw.plan);
  const day = dayMode ? dayCodes(draw, address.session) : null;
  const codes = day ? [] : fresh(trials.reduce((sum, { presentations }) => sum + presentations.length, 0));
  let taken = 0;
  return withSamples(draw, address, trials, history).map(({ design, units, ...piece }) => {
    const from = taken;
    taken += design.presentations.length;
    return {
      design,
      units,
      codes: day ? units.map((unit) => day.get(unit) as Code) : codes.slice(from, taken),
      ...piece,
    };
  });
}

/** A whole sitting without codes, which say nothing of what is heard: for simulated panels, of which there are many. */
export const drawSamples = (draw: Draw, seat: Seat): DrawnSamples[] => withSamples(draw, seat, designs(draw, seat));

/** A whole sitting. `sparesUsed` counts the codes that this session took from the back before. */
export function drawSitting(draw: Draw, address: Address, sparesUsed: number): DrawnSitting {
  const slot = plannedSlot(draw.plan, address);
  const trials = withCodes(draw, address, designs(draw, address), (count) =>
    slot === null
      ? spareCodes(draw, address.session, sparesUsed, count)
      : sessionCodes(draw, address.session).slice(slot * count, (slot + 1) * count),
  );
  return { sitting: address.sitting, trials };
}

/** The next trial of a sitting under way: one that is put again, or null when there is nothing more to put. */
export function drawNext(
  draw: Draw,
  address: Address,
  history: readonly TrialPast[],
  sparesUsed: number,
): DrawnTrial | null {
  const next = nextTrial(draw.plan, address, history, randomness(draw, address.audience));
  if (next === 'done') return null;
  const spares = (count: number) => spareCodes(draw, address.session, sparesUsed, count);
  const [drawn] = withCodes(draw, address, [next], spares, history);
  return drawn as DrawnTrial;
}

export const isWalkIn = (plan: Plan, address: Address): boolean => plannedSlot(plan, address) === null;

/**
 * How far into the back of a session's list walk-ins and trials put again have got. By the place of the codes and not by
 * their number, so that no code comes twice when a sitting was drawn anew meanwhile.
 */
export function sparesTaken(draw: Draw, session: number, sittings: readonly (DrawnSitting & Address)[]): number {
  if (codesLast(draw.plan)) return 0;
  const codes = sessionCodes(draw, session);
  let taken = 0;
  for (const sitting of sittings) {
    if (sitting.session !== session) continue;
    const walkIn = isWalkIn(draw.plan, sitting);
    for (const trial of sitting.trials) {
      if (!walkIn && trial.design.replaces === null) continue;
      for (const code of trial.codes) taken = Math.max(taken, codes.length - codes.indexOf(code));
    }
  }
  return taken;
}
