import type { ZodType } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { Aim, ControlKind } from '../shared/plan';
import { anyOrder, asHeard, nextInOrders } from './dealt-orders';
import { type Ears, earsOf, heardAnswer } from './ears';
import type { Form } from './form';
import type { ControlRule, Protocol, ScoredPlan, SentAnswer, TrialDesign } from './protocol';
import { analyseRights, rightsEvidence } from './right-answers';
import { notTwo, twoOf } from './two-samples';

/** What differs between methods that put two samples in several orders and whose answers are right or wrong. */
export interface AskedInOrders<Spec extends { trials: number }, Answer> {
  id: string;
  /** As the first words of a sentence. */
  called: string;
  aims: readonly Aim[];
  chance: number;
  standards: string[];
  spec: ZodType<Spec>;
  answer: ZodType<Answer>;
  controls: Record<ControlKind, ControlRule>;
  form(spec: Spec): Form;
  /** All orders, each as likely as any other. `first`: the one that the primary comparison names first. */
  orders(spec: Spec, first: PrototypeId, second: PrototypeId): PrototypeId[][];
  /** The two of a control trial in their roles; left out: either may have either. */
  roles?(pair: readonly [PrototypeId, PrototypeId], plan: ScoredPlan): readonly [PrototypeId, PrototypeId];
  read(sent: SentAnswer): Answer | null;
  isRight(trial: TrialDesign, answer: Answer, plan: ScoredPlan): boolean;
  /** What is answered by whoever has such impressions and goes by the rule that the question asks for. */
  byEar(impressions: readonly number[]): Answer;
  /** All that may be answered, the first being the one that a habit pulls to. */
  offered: readonly Answer[];
}

/** Such a method: its trials in orders that are dealt out (`dealt-orders.ts`), its verdict by counting (`right-answers.ts`). */
export function askedInOrders<Spec extends { trials: number }, Answer>(
  own: AskedInOrders<Spec, Answer>,
): Protocol<Spec, Answer, Ears> {
  const { id, chance, aims, standards, spec, controls, answer, form, offered } = own;
  const stands = (asked: Form): number => (asked.kind === 'pick-one' ? asked.choices.length : asked.presentations);
  return {
    id,
    family: 'difference',
    aims,
    smallest: 'heard',
    chance,
    standards,
    spec,
    controls,
    problems: (_spec, plan) => notTwo(own.called, plan),
    form,
    controlTrial(spec, plan, pair, randomness) {
      const [first, second] = own.roles?.(pair, plan) ?? pair;
      return {
        presentations: anyOrder(own.orders(spec, first, second), randomness.at('order')),
        shown: asHeard(stands(form(spec))),
      };
    },
    trials: ({ trials }) => trials,
    practicePresentations: (spec) => form(spec).presentations,
    next(spec, plan, seat, history, randomness) {
      const orders = own.orders(spec, ...twoOf(plan));
      return nextInOrders(orders, stands(form(spec)), spec.trials, plan, seat, history, randomness);
    },
    answer: () => answer,
    read: (_form, _codes, sent) => own.read(sent),
    score: (_form, trial, given, plan) => [
      { scale: null, value: own.isRight(trial, given, plan) ? 1 : 0, late: false },
    ],
    analyse: (outcomes, plan, options) => analyseRights(outcomes, plan, chance, options),
    evidence: (outcomes, plan, audience) => rightsEvidence(outcomes, plan, audience, chance),
    listener: earsOf,
    simulate(truth, ears, meeting, random) {
      const right = () => offered.find((one) => own.isRight(meeting.design, one, ears.plan)) as Answer;
      return heardAnswer(truth, ears, meeting, { right, byEar: own.byEar, offered }, random);
    },
  };
}
