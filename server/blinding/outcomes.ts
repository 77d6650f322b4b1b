import { methodOf } from '../../protocols/index';
import type { Outcome, SentAnswer, TrialDesign } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId, UnitId } from '../../shared/brands';
import { type Plan, planSchema } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import type { SentRating } from '../../shared/wire';
import { Exposures } from './exposures';
import type { PublishedKey } from './unsealing';

/** A study as its ledger tells it: the one place where answers meet what they were about. */
export interface StudyStory {
  plan: Plan;
  planHash: string;
  commitment: string;
  /** Null until the study is unsealed. */
  key: PublishedKey | null;
  unsealedHash: string | null;
  /** Everybody who came through the door; a place in the audience only for those who took a seat. */
  joined: { listener: ListenerId; audience: AudienceId; ordinal: number | null }[];
  arrived: number;
  sittings: SittingStory[];
  sessions: { id: SessionId; number: number; openedAt: string }[];
  openings: { by: string; session: number; at: string }[];
  singleBlind: { reason: string; at: string }[];
  incidents: { at: string; category: string; text: string; seat: number | null }[];
  operators: string[];
  /** Sittings put off at check-in by a rule of the plan. */
  postponed: number;
  /** Hearings outside the test, as they were declared; `seq` says when. */
  declared: { listener: ListenerId; prototype: PrototypeId; times: number; how: string; seq: number; at: string }[];
}

export interface SittingStory {
  id: SittingId;
  session: SessionId;
  sessionNumber: number;
  listener: ListenerId;
  audience: AudienceId;
  ordinal: number;
  number: number;
  ended: 'finished' | 'cut' | 'open';
  /** By a rule of the plan, for how the listener was that day; which rule isn't in the ledger. */
  marked: boolean;
  /** The listener said at check-in that he or she had heard these samples elsewhere. */
  outside: boolean;
  trials: TrialStory[];
}

export interface TrialStory {
  id: TrialId;
  ordinal: number;
  practice: boolean;
  replaces: number | null;
  codes: string[];
  state: 'open' | 'answered' | 'void';
  voidReason: string | null;
  /** The code that was picked, or `none`; null for ratings. */
  answer: string | null;
  ratings: SentRating[] | null;
  /** How often each presentation was heard, in order; a page that was loaded anew meanwhile counts again. */
  heard: number[];
  /** Where in the ledger the first of them stands. */
  heardSeq: number | null;
  /** When the first impression began by the phone's wall clock. */
  startedWall: number | null;
  flags: string[];
  answeredAt: string | null;
  answeredMs: number | null;
  heardMs: number | null;
  words: { code: string; text: string }[];
  retries: number;
}

type Body = Record<string, unknown>;
const string = (body: Body, key: string): string => String(body[key] ?? '');
const count = (body: Body, key: string): number => Number(body[key] ?? 0);

/** Reads a ledger from its first entry to its last. @throws Error when it has no locked plan. */
export function storyOf(ledger: readonly LedgerEntry[]): StudyStory {
  const locked = ledger.find((entry) => entry.kind === 'plan-locked');
  if (!locked) throw new Error('This record has no locked plan, so there is nothing to analyse yet.');
  const story: StudyStory = {
    plan: planSchema.parse(locked.body.plan),
    planHash: string(locked.body, 'planHash'),
    commitment: string(locked.body, 'commitment'),
    key: null,
    unsealedHash: null,
    joined: [],
    arrived: 0,
    sittings: [],
    sessions: [],
    openings: [],
    singleBlind: [],
    incidents: [],
    operators: [],
    postponed: 0,
    declared: [],
  };
  const checkedIn = new Map<string, Body>();
  const trials = new Map<string, TrialStory>();
  const sittings = new Map<string, SittingStory>();
  const operators = new Set<string>();
  for (const entry of ledger) {
    const { body } = entry;
    const trial = trials.get(string(body, 'trial'));
    const sitting = sittings.get(string(body, 'sitting'));
    switch (entry.kind) {
      case 'session-opened':
        operators.add(entry.actor);
        story.sessions.push({
          id: string(body, 'session') as SessionId,
          number: count(body, 'number'),
          openedAt: entry.at,
        });
        break;
      case 'joined':
        story.joined.push({
          listener: string(body, 'listener') as ListenerId,
          audience: string(body, 'audience') as AudienceId,
          ordinal: null,
        });
        break;
      case 'arrived':
        story.arrived++;
        break;
      case 'seated': {
        operators.add(entry.actor);
        const seated = sittingStory(body, checkedIn.get(string(body, 'sitting')) ?? {});
        const member = story.joined.find((one) => one.listener === seated.listener);
        if (member) member.ordinal = seated.ordinal;
        sittings.set(seated.id, seated);
        story.sittings.push(seated);
        for (const one of seated.trials) trials.set(one.id, one);
        break;
      }
      case 'trial-added': {
        const added = trialStory(body);
        trials.set(added.id, added);
        sitting?.trials.push(added);
        break;
      }
      case 'checked-in':
        checkedIn.set(string(body, 'sitting'), body);
        break;
      case 'postponed':
        story.postponed++;
        break;
      case 'exposure-declared':
        story.declared.push({
          listener: string(body, 'listener') as ListenerId,
          prototype: string(body, 'prototype') as PrototypeId,
          times: count(body, 'times'),
          how: string(body, 'how'),
          seq: entry.seq,
          at: entry.at,
        });
        break;
      case 'fitted':
        if (trial) {
          trial.retries += count(body, 'retries');
          if (body.plays !== false) hear(trial, body, entry.seq);
        }
        break;
      case 'started':
        if (trial) {
          hear(trial, body, entry.seq);
          trial.startedWall = wallOf(body);
          if (body.shortRest === true) flag(trial, 'short-rest');
        }
        break;
      case 'resumed':
        if (trial) {
          hear(trial, body, entry.seq);
          flag(trial, 'reloaded');
        }
        break;
      case 'heard':
        if (trial) trial.heardMs = sincePlaying(body);
        break;
      case 'answered':
        if (trial && trial.state === 'open') {
          trial.state = 'answered';
          if (Array.isArray(body.ratings)) trial.ratings = body.ratings as SentRating[];
          else trial.answer = string(body, 'answer');
          if (clocksDisagree(trial, body)) flag(trial, 'clocks-disagree');
          trial.answeredAt = entry.at;
          trial.answeredMs = sincePlaying(body);
        }
        break;
      case 'worded':
        if (trial && Array.isArray(body.words)) trial.words = body.words as TrialStory['words'];
        break;
      case 'trial-voided':
        operators.add(entry.actor);
        if (trial) {
          trial.state = 'void';
          trial.voidReason = string(body, 'reason');
        }
        if (sitting?.ended === 'finished') sitting.ended = 'open';
        break;
      case 'sitting-finished':
        if (sitting) sitting.ended = 'finished';
        break;
      case 'sitting-cut':
        if (sitting) sitting.ended = 'cut';
        break;
      case 'sheet-opened':
        story.openings.push({ by: string(body, 'by'), session: count(body, 'session'), at: entry.at });
        break;
      case 'single-blind':
        story.singleBlind.push({ reason: string(body, 'reason'), at: entry.at });
        break;
      case 'incident':
        story.incidents.push({
          at: entry.at,
          category: string(body, 'category'),
          text: string(body, 'text'),
          seat: typeof body.seat === 'number' ? body.seat : null,
        });
        break;
      case 'handed-over':
        operators.add(entry.actor);
        break;
      case 'unsealed':
        story.key = { seed: string(body, 'seed'), key: body.key as PublishedKey['key'] };
        story.unsealedHash = entry.hash;
        break;
    }
  }
  story.operators = [...operators].map((actor) => actor.replace(/^staff:/, '')).sort();
  return story;
}

/** One more hearing of the presentation that an entry is about. */
function hear(trial: TrialStory, body: Body, seq: number): void {
  const place = count(body, 'presentation') - 1;
  if (place < 0 || place >= trial.heard.length) return;
  trial.heard[place] = (trial.heard[place] ?? 0) + 1;
  trial.heardSeq ??= seq;
}

function flag(trial: TrialStory, what: string): void {
  if (!trial.flags.includes(what)) trial.flags.push(what);
}

const wallOf = (body: Body): number | null => (body.times as { wall?: number } | undefined)?.wall ?? null;

/** Two clocks of one phone that differ by so much over a trial: one of them stood still, or was set. */
const apart = 2_000;

function clocksDisagree(trial: TrialStory, body: Body): boolean {
  const [monotonic, wall] = [sincePlaying(body), wallOf(body)];
  if (monotonic === null || wall === null || trial.startedWall === null) return false;
  return Math.abs(wall - trial.startedWall - monotonic) > apart;
}

function sincePlaying(body: Body): number | null {
  const times = body.times as { sincePlaying?: number | null } | undefined;
  return times?.sincePlaying ?? null;
}

function trialStory(body: Body): TrialStory {
  return {
    id: string(body, 'trial') as TrialId,
    ordinal: count(body, 'ordinal'),
    practice: body.practice === true,
    replaces: typeof body.replaces === 'number' ? body.replaces : null,
    codes: (body.codes as string[] | undefined) ?? [],
    state: 'open',
    voidReason: null,
    answer: null,
    ratings: null,
    heard: ((body.codes as string[] | undefined) ?? []).map(() => 0),
    heardSeq: null,
    startedWall: null,
    flags: [],
    answeredAt: null,
    answeredMs: null,
    heardMs: null,
    words: [],
    retries: 0,
  };
}

function sittingStory(body: Body, checkedIn: Body): SittingStory {
  return {
    id: string(body, 'sitting') as SittingId,
    session: string(body, 'session') as SessionId,
    sessionNumber: count(body, 'sessionNumber'),
    listener: string(body, 'listener') as ListenerId,
    audience: string(body, 'audience') as AudienceId,
    ordinal: count(body, 'ordinal'),
    number: count(body, 'number'),
    ended: 'open',
    marked: checkedIn.marked === true,
    outside: checkedIn.outside === true,
    trials: ((body.trials as Body[] | undefined) ?? []).map(trialStory),
  };
}

export interface Told {
  sitting: SittingStory;
  trial: TrialStory;
  design: TrialDesign;
  units: UnitId[];
  /**
   * How often this listener had heard each of the samples by then, in their order: practice, spoilt trials, this one
   * and what was declared from outside included.
   */
  exposures: number[];
}

/** Every trial with what stood behind its codes. @throws Error when the study is sealed or the key doesn't fit. */
export function toldTrials(story: StudyStory): Told[] {
  if (!story.key) throw new Error('This study is sealed. Unseal it first.');
  const told: Told[] = [];
  const exposures = new Exposures(story);
  for (const sitting of story.sittings) {
    const keyed = story.key.key.find(
      (one) =>
        one.session === sitting.sessionNumber && one.audience === sitting.audience && one.ordinal === sitting.ordinal,
    );
    for (const trial of sitting.trials) {
      const drawn = keyed?.trials.find((one) => one.ordinal === trial.ordinal);
      const misfit = misfitOf(drawn, trial, story.plan);
      if (!drawn || misfit) throw new Error(`The key does not fit trial ${trial.id}: ${misfit}.`);
      const design = {
        ordinal: trial.ordinal,
        practice: drawn.practice,
        presentations: drawn.prototypes as PrototypeId[],
        shown: [],
        replaces: drawn.replaces,
      };
      told.push({
        sitting,
        trial,
        design,
        units: drawn.units as UnitId[],
        exposures: exposures.after(sitting.listener, trial, design.presentations),
      });
    }
  }
  return told;
}

type KeyedTrial = PublishedKey['key'][number]['trials'][number];

/** What the key says otherwise than the ledger or the plan, or null when it fits. */
function misfitOf(drawn: KeyedTrial | undefined, trial: TrialStory, plan: Plan): string | null {
  if (!drawn || drawn.codes.join() !== trial.codes.join()) return 'its codes are not those that were drawn';
  if (drawn.practice !== trial.practice) return 'the key and the ledger differ on whether it was for practice';
  if (drawn.replaces !== trial.replaces) return 'the key and the ledger differ on which trial it puts again';
  const fits = drawn.units.every((unit, index) =>
    plan.prototypes.some(({ id, units }) => id === drawn.prototypes[index] && units.some((one) => one.id === unit)),
  );
  return fits && drawn.units.length === drawn.codes.length ? null : 'a unit is not one of its prototype’s in the plan';
}

/** What a phone sent, as a method reads it: times of touch by the monotonic clock, or else by the wall clock. */
export function sentOf(trial: TrialStory): SentAnswer | null {
  if (trial.ratings === null) return trial.answer === null ? null : { picked: trial.answer };
  return {
    ratings: trial.ratings.map(({ scale, value, touched }) => ({
      scale,
      value,
      touchedMs:
        touched.sincePlaying ?? (trial.startedWall === null ? null : Math.max(0, touched.wall - trial.startedWall)),
    })),
  };
}

/** Marks of an answer, its sitting's among them. */
export const flagsOf = (sitting: SittingStory, trial: TrialStory): string[] => [
  ...trial.flags,
  ...(sitting.marked ? ['marked'] : []),
  ...(sitting.outside ? ['outside-listening'] : []),
];

/** The scored answers that are analysed: no practice, nothing void. */
export function outcomesOf(story: StudyStory): Outcome[] {
  const { protocol, form } = methodOf(story.plan);
  return toldTrials(story).flatMap(({ sitting, trial, design, units, exposures }) => {
    if (trial.practice || trial.state !== 'answered') return [];
    const sent = sentOf(trial);
    const answer = sent && protocol.read(form, trial.codes, sent);
    if (answer === null) throw new Error(`The answer to trial ${trial.id} is none of those that were offered.`);
    return protocol.score(form, design, answer).map(({ scale, value, late }) => ({
      listener: sitting.listener,
      audience: sitting.audience,
      session: sitting.session,
      sessionNumber: sitting.sessionNumber,
      sitting: sitting.id,
      sittingNumber: sitting.number,
      trial: trial.id,
      scale,
      prototypes: design.presentations,
      units,
      excerpt: null,
      position: trial.ordinal,
      exposure: exposures.reduce((sum, one) => sum + one, 0),
      late,
      flags: flagsOf(sitting, trial),
      value,
    }));
  });
}
