import type { AudienceId, ListenerId, SessionId, SittingId } from '../../shared/brands';
import { type Body, count, string, type TrialStory, trialStory } from './trial-story';

/** One sitting as the ledger tells it. */
export interface SittingStory {
  id: SittingId;
  session: SessionId;
  sessionNumber: number;
  listener: ListenerId;
  audience: AudienceId;
  ordinal: number;
  number: number;
  ended: 'finished' | 'cut' | 'open';
  /** Where in the ledger it begins and, once it is over, ends. */
  from: number;
  to: number | null;
  /** By a rule of the plan, for how the listener was that day; which rule isn't in the ledger. */
  marked: boolean;
  /** The listener said at check-in that he or she had heard these samples elsewhere. */
  outside: boolean;
  trials: TrialStory[];
}

export function sittingStory(body: Body, checkedIn: Body, from: number): SittingStory {
  return {
    id: string(body, 'sitting') as SittingId,
    session: string(body, 'session') as SessionId,
    sessionNumber: count(body, 'sessionNumber'),
    listener: string(body, 'listener') as ListenerId,
    audience: string(body, 'audience') as AudienceId,
    ordinal: count(body, 'ordinal'),
    number: count(body, 'number'),
    ended: 'open',
    from,
    to: null,
    marked: checkedIn.marked === true,
    outside: checkedIn.outside === true,
    trials: ((body.trials as Body[] | undefined) ?? []).map(trialStory),
  };
}
