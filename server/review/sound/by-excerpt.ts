import { protocolOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { ExcerptFindings } from '../../../shared/findings-sound';
import type { Plan } from '../../../shared/plan';
import { isRight } from '../right-answer';

/**
 * What was answered with each excerpt, counted: where one excerpt shows what the others don't, it stands out here. No
 * test, since a plan decides by all of them together. Undefined with fewer than two.
 */
export function byExcerpt(outcomes: readonly Outcome[], plan: Plan): ExcerptFindings[] | undefined {
  if (plan.excerpts.length < 2) return undefined;
  const { family } = protocolOf(plan.method.id);
  return plan.audiences.flatMap((audience) =>
    plan.excerpts.map((excerpt) => {
      const own = outcomes.filter((one) => one.audience === audience.id && one.excerpt === excerpt.id);
      return {
        excerpt: excerpt.id,
        audience: audience.id,
        answers: new Set(own.map(({ trial }) => trial)).size,
        correct: family === 'difference' ? own.filter((one) => isRight(one, plan)).length : null,
        preferred: family === 'preference' ? preferredOf(own, plan) : null,
        means: family === 'rating' || family === 'ranking' ? meansOf(own, plan) : null,
      };
    }),
  );
}

function preferredOf(outcomes: readonly Outcome[], { primary }: Plan): ExcerptFindings['preferred'] {
  const counts = { first: 0, second: 0, none: 0 };
  for (const { prototypes, value } of outcomes) {
    const [a, b] = prototypes as string[];
    const straight = a === primary.first && b === primary.second;
    if (!straight && !(a === primary.second && b === primary.first)) continue;
    const forFirst = straight ? value : -value;
    counts[forFirst > 0 ? 'first' : forFirst < 0 ? 'second' : 'none']++;
  }
  return counts;
}

function meansOf(outcomes: readonly Outcome[], { primary }: Plan): NonNullable<ExcerptFindings['means']> {
  return [primary.first, primary.second].flatMap((prototype) => {
    const values = outcomes
      .filter(
        ({ scale, prototypes, place = 0 }) => scale === (primary.scale ?? null) && prototypes[place] === prototype,
      )
      .map(({ value }) => value);
    if (values.length === 0) return [];
    return [{ prototype, mean: values.reduce((sum, value) => sum + value, 0) / values.length, ratings: values.length }];
  });
}
