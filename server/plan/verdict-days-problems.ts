import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { hasLooks } from '../../protocols/looks';
import { verdictPlan } from '../../protocols/verdict-days';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

/** What stands against the sittings that a verdict counts. */
export function verdictDaysProblems(plan: Plan): Problem[] {
  const { verdictDays: days, sessions } = plan;
  if (!days) return [];
  const { from, to } = days;
  if (from > to) {
    const message = `The verdict can’t count from sitting ${from} to sitting ${to}. Put the earlier one first.`;
    return [{ code: 'too-large', path: 'verdictDays.from', message, allowed: `at most ${to}`, got: String(from) }];
  }
  if (to > sessions.count) {
    const message = `The verdict counts sittings up to ${to}, and ${sessions.count === 1 ? 'one session is' : `${sessions.count} sessions are`} planned. Plan more sessions, or let it count fewer sittings.`;
    return [
      { code: 'too-large', path: 'verdictDays.to', message, allowed: `at most ${sessions.count}`, got: String(to) },
    ];
  }
  // A look counts answers as they come, whoever gives them the how manieth time.
  if (hasLooks(plan)) {
    const message =
      'A look before the end counts answers as they come, of all sittings. Take a study without looks, or let the verdict count all sittings.';
    return [
      { code: 'not-together', path: 'verdictDays', message, allowed: 'no looks before the end', got: plan.looks.kind },
    ];
  }
  return unfitDays(plan);
}

/** Where sittings go together, in balance or in both orders, those that count must do so by themselves. */
function unfitDays(plan: Plan): Problem[] {
  const { protocol, spec } = methodOf(plan);
  const against = (one: Plan) => protocol.problems(spec, comparedPlan(one)).map(({ message }) => message);
  const anyway = against(plan);
  return against(verdictPlan(plan))
    .filter((message) => !anyway.includes(message))
    .slice(0, 1)
    .map((message) => ({
      code: 'not-together',
      path: 'verdictDays',
      message: `The sittings that the verdict counts don’t make a study by themselves: ${message}`,
    }));
}
