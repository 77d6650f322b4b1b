import type { Outcome, Scored, SentAnswer } from '../../../protocols/protocol';
import type { Plan } from '../../../shared/plan';
import type { Verdict } from '../../../shared/verdicts';

/** All reasons for which a clause may not bind a method. */
export const reasons = [
  'a difference method says nothing about which one is better',
  'a preference method says nothing about whether a difference is heard',
  'a rating has no level of chance; who has no tastes rates the middle',
  'how readily someone says different is their own, so chance is no fixed rate',
  'how readily someone says it is the one is their own, so chance is no fixed rate',
  'likeness takes a method whose level of chance is known',
  'likeness to within a margin is called not separated',
  'no order is right or wrong',
  'no preference is right or wrong',
  'no rating is right or wrong',
  'so seldom right by guessing, it is for differences only',
  'the verdict is about a scale, which need not say what is better',
] as const;

/** Why a clause doesn't bind a method. */
export interface NotApplicable {
  notApplicable: (typeof reasons)[number];
}

/** Which samples stand equally often where. */
export interface Balance {
  /** Positions, from 0, in which each prototype stands equally often. */
  positions: number[];
  /** To within one after every so many listeners. */
  block: number;
  /** Such a plan, where it hangs on the size of the panel; else that of the other clauses. */
  of?: Plan;
  /** One prototype is there more often than the other, in each of the positions alike. */
  oftener?: true;
}

/** What the contract asks of every method: an answer to each, or a reason why there is none. */
export interface Clauses {
  /** A plan of this method, for the clauses that need no other. */
  plan: Plan;
  /** All that a phone may send about samples with these codes, with its score; and what it may not. */
  answers: {
    codes: string[];
    /** Letters of the prototypes that were presented. */
    presented: string;
    sent: SentAnswer;
    scored: Scored[];
  }[];
  refused: { codes: string[]; sent: SentAnswer }[];
  balanced: Balance;
  /**
   * Trials that are equally likely once all but chance is known, as letters of the prototypes: whatever is answered to
   * them, the share of right answers is the chance that the method states.
   */
  guessing: { equallyLikely: string[]; right: (scored: Scored[]) => boolean } | NotApplicable;
  /** What a simulated listener without ears or tastes gives, with its probability. */
  careless: { gives: (scored: Scored[]) => boolean; probability: number } | NotApplicable;
  /** For each verdict a study that comes to it, or why this method never gives it. */
  verdicts: Record<Verdict, { outcomes: Outcome[]; plan: Plan } | NotApplicable>;
}
