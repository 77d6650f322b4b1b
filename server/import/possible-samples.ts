import { comparedPlan } from '../../protocols/controls';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import type { AnswerRow } from './answer-row';
import { methodIn } from './asked';
import type { Samples } from './samples';

/**
 * Whether a method ever puts such samples together. An ABX whose third is neither of the two, or a pair of one and the
 * same, has no right answer and no preference, and would be counted all the same. Which samples go together is asked of
 * the method itself: of so many listeners that each of the few ways comes up. Practice and controls are let be.
 */
export function possibleSamples(row: AnswerRow, { prototypes }: Pick<Samples, 'prototypes'>, plan: Plan): boolean {
  if (row.practice || row.control !== null) return true;
  const { form } = methodIn(plan);
  const nameOf = (id: string | undefined) => plan.prototypes.find((one) => one.id === id)?.name ?? '';
  const wrong = (place: number, what: string): false => {
    const column = row.presentations.length > 0 ? `presentation_${place + 1}` : 'prototype';
    row.cells.wrong(column, 'not-this-method', what, { got: prototypes.map(nameOf).join(', ') });
    return false;
  };
  const reference = form.kind === 'grades' ? form.reference : null;
  if (reference !== null) {
    const { reference: known } = plan.method.spec as { reference?: string };
    if (prototypes[reference] !== known) {
      return wrong(reference, `The reference of the plan is ${nameOf(known)}, and here stands another.`);
    }
  }
  if (form.kind === 'pick-one' && form.matched !== null) {
    const among = form.choices.map((place) => prototypes[place]);
    if (new Set(among).size < among.length || !among.includes(prototypes[form.matched])) {
      const what = `Of ${among.length} different samples one is to be the same as number ${form.matched + 1}, and here it isn’t so.`;
      return wrong(form.matched, what);
    }
  }
  if (waysOf(plan).has(wayOf(prototypes, plan))) return true;
  return wrong(0, 'No trial of this method puts these samples together.');
}

/** Where an answer is right or wrong it matters which they are; else only how often each stands there. */
function wayOf(prototypes: readonly string[], plan: Plan): string {
  if (methodIn(plan).protocol.family === 'difference') return [...prototypes].sort().join(' ');
  const counts = new Map<string, number>();
  for (const id of prototypes) counts.set(id, (counts.get(id) ?? 0) + 1);
  return [...counts.values()].sort((a, b) => a - b).join(' ');
}

/** Where nothing is rarer than one in four, one of a thousand million plans would lack a way. */
const listeners = 80;
const ways = new WeakMap<Plan, Set<string>>();

function waysOf(plan: Plan): Set<string> {
  const known = ways.get(plan);
  if (known) return known;
  const { protocol, spec } = methodIn(plan);
  const compared = comparedPlan(plan);
  const audience = compared.audiences[0]?.id as AudienceId;
  const found = new Set<string>();
  for (let ordinal = 1; ordinal <= listeners; ordinal++) {
    const randomness = { at: (...path: (string | number)[]) => seededRandom(`ways ${ordinal} ${path.join(' ')}`) };
    const history: TrialPast[] = [];
    // Practice, and the first that counts.
    for (let trial = 0; trial < 2; trial++) {
      const design: TrialDesign | 'done' = protocol.next(
        spec,
        compared,
        { audience, ordinal, sitting: 1 },
        history,
        randomness,
      );
      if (design === 'done') break;
      history.push({ design, state: 'answered' });
      if (!design.practice) found.add(wayOf(design.presentations, plan));
    }
  }
  ways.set(plan, found);
  return found;
}
