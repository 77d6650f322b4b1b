import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

/** Half of a letter, as JSON can have it. It has no bytes of its own, so that no hash and no signature could hold it. */
const half = /\p{Surrogate}/u;

/** Words of a plan that hold half a letter, by their path. A form never sends one, a document may. */
export function brokenLetters(plan: Plan): Problem[] {
  const found: Problem[] = [];
  const walk = (value: unknown, path: string): void => {
    if (typeof value === 'string' && half.test(value)) {
      found.push({
        code: 'not-valid',
        path,
        message: `“${path}” holds half of a letter (a lone surrogate), which can’t be written down. Type it anew.`,
      });
    }
    if (typeof value !== 'object' || value === null) return;
    for (const [key, one] of Object.entries(value)) walk(one, path === '' ? key : `${path}.${key}`);
  };
  walk(plan, '');
  return found;
}
