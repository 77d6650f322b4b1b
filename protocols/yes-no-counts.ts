import type { AudienceId, ListenerId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { YesCounts } from '../stats/stratified-yes';
import type { Outcome } from './protocol';

/** Answers yes and no, counted by what the trials were. */

export type YesNoMethod = 'same-different' | 'a-not-a';

/** Whether yes is what a trial is: the two differ, or it is the sample that was learnt. */
export const isSignal = (
  method: YesNoMethod,
  { prototypes: [first, second] }: Pick<Outcome, 'prototypes'>,
  plan: Pick<Plan, 'primary'>,
): boolean => (method === 'same-different' ? first !== second : first === plan.primary.first);

export interface ListenerYes extends YesCounts {
  listener: ListenerId;
}

/** What came from one audience. */
export interface YesAnswered {
  id: AudienceId;
  planned: number;
  outcomes: readonly Outcome[];
  /** One entry a sitting, in no order that matters. */
  sittings: YesCounts[];
}

/** Answers of each audience of the plan, in its order. */
export function yesAnsweredIn(method: YesNoMethod, outcomes: readonly Outcome[], plan: Plan): YesAnswered[] {
  return plan.audiences.map(({ id, listeners }) => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const sittings = [...countedBy(method, own, plan, ({ sitting }) => sitting).values()];
    return { id: id as AudienceId, planned: listeners, outcomes: own, sittings };
  });
}

/** One entry a listener, by id. */
export const yesOfListeners = (method: YesNoMethod, outcomes: readonly Outcome[], plan: Plan): ListenerYes[] =>
  [...countedBy(method, outcomes, plan, ({ listener }) => listener)]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([listener, counts]) => ({ listener, ...counts }));

function countedBy<K>(
  method: YesNoMethod,
  outcomes: readonly Outcome[],
  plan: Plan,
  keyOf: (outcome: Outcome) => K,
): Map<K, YesCounts> {
  const groups = new Map<K, YesCounts>();
  for (const outcome of outcomes) {
    const key = keyOf(outcome);
    let own = groups.get(key);
    if (own === undefined) {
      own = { hits: 0, signalTrials: 0, falseAlarms: 0, noiseTrials: 0 };
      groups.set(key, own);
    }
    const yes = outcome.value === 1 ? 1 : 0;
    if (isSignal(method, outcome, plan)) {
      own.signalTrials++;
      own.hits += yes;
    } else {
      own.noiseTrials++;
      own.falseAlarms += yes;
    }
  }
  return groups;
}

/** All of them together. */
export function yesInAll(counts: readonly YesCounts[]): YesCounts {
  const all = { hits: 0, signalTrials: 0, falseAlarms: 0, noiseTrials: 0 };
  for (const own of counts) {
    all.hits += own.hits;
    all.signalTrials += own.signalTrials;
    all.falseAlarms += own.falseAlarms;
    all.noiseTrials += own.noiseTrials;
  }
  return all;
}
