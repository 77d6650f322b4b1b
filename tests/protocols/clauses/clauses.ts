import type { Outcome, Scored, SentAnswer } from '../../../protocols/protocol';
import type { Plan } from '../../../shared/plan';
import type { Verdict } from '../../../shared/verdicts';

/** Why a clause doesn't bind a method. */
export interface NotApplicable {
  notApplicable: string;
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
  /** Positions, from 0, in which each prototype stands equally often to within one, whoever has come so far. */
  balanced: number[];
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
