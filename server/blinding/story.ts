import type { SentGrades } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { LedgerEntry } from '../../shared/record';
import type { SentRating } from '../../shared/wire';
import { planVersions } from './amendments';
import { type Exclusion, exclusionsOf } from './exclusions';
import { importedEntry } from './imported';
import { type Quarantined, quarantinedIn } from './quarantined';
import { flagRevealed } from './revealed';
import { type SittingStory, sittingStory } from './sitting-story';
import {
  type Body,
  clocksDisagree,
  count,
  flag,
  hear,
  hearThose,
  interrupt,
  noteBrought,
  noteFiles,
  noteSound,
  sincePlaying,
  string,
  type TrialStory,
  trialStory,
  wallOf,
} from './trial-story';
import type { PublishedKey } from './unsealing';

export type { SittingStory } from './sitting-story';

/** A study as its ledger tells it, before anybody asks what stood behind the codes. */
export interface StudyStory {
  /** As it stands after the last amendment, and its hash. */
  plan: Plan;
  planHash: string;
  /** The hash of the plan as it was locked, which the commitment binds together with the seed. */
  lockedHash: string;
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
  /** Sittings put off at check-in by a rule of the plan, and not let in again; and whose they were, a name each. */
  postponed: number;
  putOff: ListenerId[];
  /** Hearings outside the test, as they were declared; `seq` says when. */
  declared: { listener: ListenerId; prototype: PrototypeId; times: number; how: string; seq: number; at: string }[];
  /** What people decided to leave out. */
  exclusions: Exclusion[];
  /** Answers that came too late. */
  quarantined: Quarantined[];
}

/** Reads a ledger from its first entry to its last. @throws Error when it has no locked plan. */
export function storyOf(ledger: readonly LedgerEntry[]): StudyStory {
  const locked = ledger.find((entry) => entry.kind === 'plan-locked');
  const newest = planVersions(ledger).at(-1);
  if (!locked || !newest) throw new Error('This record has no locked plan, so there is nothing to analyse yet.');
  const story: StudyStory = {
    plan: newest.plan,
    planHash: newest.hash,
    lockedHash: string(locked.body, 'planHash'),
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
    putOff: [],
    declared: [],
    exclusions: exclusionsOf(ledger),
    quarantined: quarantinedIn(ledger),
  };
  const brought = importedEntry(ledger) !== null;
  const checkedIn = new Map<string, Body>();
  const postponed = new Set<string>();
  const arrivedIn = new Map<string, ListenerId>();
  const trials = new Map<string, TrialStory>();
  const sittings = new Map<string, SittingStory>();
  const operators = new Set<string>();
  /** The trial whose sample is at the seat of a sitting. */
  const atSeat = new Map<string, string>();
  /** Sittings whose listener is away. */
  const away = new Set<string>();
  const goesOn = (sitting: SittingStory, entry: LedgerEntry): void => {
    for (const one of sitting.trials) {
      interrupt(one, entry, {
        sampleThere: atSeat.get(sitting.id) === one.id,
        windowSeconds: story.plan.firstImpression?.windowSeconds ?? 0,
      });
    }
  };
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
        arrivedIn.set(string(body, 'sitting'), string(body, 'listener') as ListenerId);
        break;
      case 'seated': {
        operators.add(entry.actor);
        const seated = sittingStory(body, checkedIn.get(string(body, 'sitting')) ?? {}, entry.seq);
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
        postponed.add(string(body, 'sitting'));
        break;
      case 'check-in-again':
        postponed.delete(string(body, 'sitting'));
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
          // It had begun before, and came to nothing: what is rated now is no first impression.
          if (trial.startedAt !== null || body.gone === true) flag(trial, 'interrupted');
          hearThose(trial, body, entry.seq);
          trial.startedWall = wallOf(body);
          trial.startedAt = entry.at;
          if (body.shortRest === true) flag(trial, 'short-rest');
        }
        break;
      case 'resumed':
        if (trial) {
          if (body.all === true || inWindow(trial, body, story.plan)) hearThose(trial, body, entry.seq);
          flag(trial, 'reloaded');
        }
        break;
      case 'sound-made':
        if (trial) noteFiles(trial, body);
        break;
      case 'sound-interrupted':
        if (trial) flag(trial, 'interrupted');
        break;
      // One of several samples, graded as it was heard.
      case 'graded':
      case 'heard':
        if (trial) {
          trial.heardMs = sincePlaying(body);
          noteSound(trial, body);
          // What the page plays by itself is put in by nobody, so that no entry before this one tells of it.
          if (trial.heard[count(body, 'presentation') - 1] === 0) hear(trial, body, entry.seq);
        }
        break;
      case 'answered':
        if (trial && trial.state === 'open') {
          trial.state = 'answered';
          if (Array.isArray(body.ratings)) trial.ratings = body.ratings as SentRating[];
          else if (Array.isArray(body.grades)) trial.grades = { grades: body.grades, ticks: body.ticks } as SentGrades;
          else trial.answer = string(body, 'answer');
          if (clocksDisagree(trial, body)) flag(trial, 'clocks-disagree');
          trial.answeredAt = entry.at;
          trial.answeredSeq = entry.seq;
          trial.answeredHash = entry.hash;
          trial.answeredMs = sincePlaying(body);
          noteSound(trial, body);
          if (brought) noteBrought(trial, body);
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
        if (sitting?.ended === 'finished') {
          sitting.ended = 'open';
          sitting.to = null;
        }
        break;
      case 'sitting-finished':
        if (sitting) {
          sitting.ended = 'finished';
          sitting.to = entry.seq;
        }
        break;
      case 'sitting-cut':
        if (sitting) {
          sitting.ended = 'cut';
          sitting.to = entry.seq;
        }
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
        atSeat.set(string(body, 'sitting'), string(body, 'trial'));
        break;
      case 'taken-back':
        atSeat.delete(string(body, 'sitting'));
        break;
      case 'seat-out':
      case 'stopped':
        if (sitting) away.add(sitting.id);
        break;
      case 'seat-again':
        if (sitting) {
          away.delete(sitting.id);
          goesOn(sitting, entry);
        }
        break;
      case 'session-resumed':
        for (const one of story.sittings) {
          if (one.session === body.session && !away.has(one.id)) goesOn(one, entry);
        }
        break;
      case 'unsealed':
        story.key = { seed: string(body, 'seed'), key: body.key as PublishedKey['key'] };
        story.unsealedHash = entry.hash;
        break;
    }
  }
  flagRevealed(story.sittings, ledger);
  story.postponed = postponed.size;
  story.putOff = [...postponed].flatMap((sitting) => arrivedIn.get(sitting) ?? []);
  story.operators = [...operators].map((actor) => actor.replace(/^staff:/, '')).sort();
  return story;
}

/**
 * Whether a page was loaded anew while its sample still played, by the phone's wall clock: after the window nothing is
 * heard. Where that can't be told, it counts.
 */
function inWindow(trial: TrialStory, body: Body, plan: Plan): boolean {
  const wall = wallOf(body);
  const { windowSeconds } = plan.firstImpression ?? {};
  if (wall === null || trial.startedWall === null || windowSeconds === undefined) return true;
  return wall - trial.startedWall <= windowSeconds * 1000;
}
