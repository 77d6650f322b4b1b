import { codesTell } from '../../protocols/form';
import { methodOf, protocolOf } from '../../protocols/index';
import { type ControlKind, codesLast, controlKinds, handsOver, type Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

/** What stands against the controls of a plan. */
export function controlProblems(plan: Plan): Problem[] {
  const rules = protocolOf(plan.method.id).controls;
  return controlKinds.flatMap((kind): Problem[] => {
    if (timesOf(plan, kind) === 0) return [];
    const rule = rules[kind];
    if (typeof rule === 'object') return [{ code: 'not-this-method', path: pathOf(kind), message: rule.refused }];
    if (kind === 'knownDifference') return [...knownProblems(plan), ...shownProblems(plan, kind)];
    if (kind === 'units') return [...unitProblems(plan), ...shownProblems(plan, kind)];
    return rule === 'added' ? codeProblems(plan, kind) : [];
  });
}

const pathOf = (kind: ControlKind): string =>
  kind === 'knownDifference' ? 'controls.knownDifference.trials' : `controls.${kind}`;

const timesOf = ({ controls }: Plan, kind: ControlKind): number =>
  kind === 'knownDifference' ? (controls.knownDifference?.trials ?? 0) : (controls[kind] ?? 0);

function knownProblems({ controls, primary, prototypes }: Plan): Problem[] {
  const path = 'controls.knownDifference.prototype';
  const known = controls.knownDifference?.prototype ?? '';
  if (!prototypes.some(({ id }) => id === known)) {
    const message = 'The sample of the known difference is none of this plan. Choose one that stands there.';
    return [{ code: 'not-a-choice', path, message, allowed: prototypes.map(({ id }) => id).join(', '), got: known }];
  }
  if (known === primary.first || known === primary.second) {
    const message =
      'The sample of the known difference is one of the two that are compared. Add another one for it, which everybody should tell from them.';
    return [{ code: 'not-valid', path, message, got: known }];
  }
  return [];
}

/** Two units of one prototype need two, of each that is compared: all of them come up. */
function unitProblems(plan: Plan): Problem[] {
  const path = 'controls.units';
  if (!handsOver(plan)) {
    const message = 'Where renders are played there are no units to put against each other. Take this control out.';
    return [{ code: 'not-valid', path, message }];
  }
  const known = plan.controls.knownDifference?.prototype;
  const short = plan.prototypes.filter(({ id, units }) => id !== known && units.length < 2);
  if (short.length === 0) return [];
  const names = short.map(({ name }) => name).join(', ');
  const message = `To put two units of a prototype against each other takes two of each; one unit has: ${names}. Add a unit, or take this control out.`;
  return [{ code: 'too-few', path, message, allowed: 'two units of each prototype', got: 'one' }];
}

/** Under a code that lasts, whoever looks at the carriers sees that two samples are one, or that a pair comes again. */
function codeProblems(plan: Plan, kind: 'hiddenRepeats' | 'identicalPairs'): Problem[] {
  if (!codesLast(plan)) return [];
  const what =
    kind === 'hiddenRepeats' ? 'a repeat would come under its old codes' : 'both samples would bear one code';
  const message = `Carriers keep their codes for a session here, so ${what} and everybody would see it. Take fresh carriers (two people), or this control out.`;
  return [{ code: 'not-valid', path: `controls.${kind}`, message, got: plan.handling }];
}

/** A sample that no other trial of the sitting has would be known by its code, where listeners read codes that last. */
function shownProblems(plan: Plan, kind: 'knownDifference' | 'units'): Problem[] {
  if (!codesLast(plan) || codesTell(methodOf(plan).form)) return [];
  const message =
    'Carriers keep their codes for a session here, and listeners read them: a sample that is heard in this control alone would stand out by its code. Take fresh carriers (two people), or this control out.';
  return [{ code: 'not-valid', path: pathOf(kind), message, got: plan.handling }];
}
