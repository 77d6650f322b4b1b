import { methodOf } from '../../../protocols/index';
import type { ValueAt } from '../../../protocols/unit-answers';
import type { UnitMeasure } from '../../../shared/findings-unit-effects';
import type { Plan } from '../../../shared/plan';
import { isRight } from '../right-answer';

/** What an answer says of one unit, in the measure of the verdict. */
export function unitValue(plan: Plan): { measure: UnitMeasure; scale: string | null; valueAt: ValueAt } {
  const { protocol, form } = methodOf(plan);
  const scale = plan.primary.scale ?? null;
  switch (protocol.family) {
    case 'preference':
      return { measure: 'preferred', scale: null, valueAt: preferredAt(plan) };
    case 'ranking':
      return { measure: 'rank', scale: null, valueAt: ({ value }) => value };
    case 'rating': {
      const ticked = form.kind === 'grades' && form.attributes.some(({ id }) => id === scale);
      return {
        measure: ticked ? 'ticked' : 'points',
        scale,
        valueAt: (outcome) => (outcome.scale === scale ? outcome.value : null),
      };
    }
    default:
      return { measure: 'right', scale: null, valueAt: (outcome) => (isRight(outcome, plan) ? 1 : 0) };
  }
}

/** 1 where it was preferred; no preference as the rule of the plan has it. */
const preferredAt =
  ({ noPreference }: Plan): ValueAt =>
  ({ value }, place) =>
    value === 0 ? (noPreference.rule === 'drop' ? null : 0.5) : value > 0 === (place === 0) ? 1 : 0;
