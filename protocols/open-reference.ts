import { type ControlKind, type Plan, planLimits } from '../shared/plan';
import type { Problem } from '../shared/problem';
import type { ControlRule } from './protocol';

/** What methods share that put an open reference, which is hidden among the samples, too. */

export const openReferenceControls: Record<ControlKind, ControlRule> = {
  hiddenRepeats: { refused: 'Every trial of this method puts the same samples again. Take more trials instead.' },
  identicalPairs: {
    refused:
      'The hidden reference is the open one once more in every trial: its grades show what is said where nothing differs.',
  },
  knownDifference: {
    refused:
      'Put the sample that everybody should tell among the prototypes, as an anchor: its grades show where it comes.',
  },
  units: { refused: 'Where renders are played there are no units to put against each other. Take this control out.' },
};

/** What stands against a reference and its anchors: that it is none of the plan, or not what it should be. */
export function openReferenceProblems(reference: string, plan: Plan): Problem[] {
  const { prototypes } = plan;
  const problems: Problem[] = [];
  const own = prototypes.find(({ id }) => id === reference);
  if (!own) {
    problems.push({
      code: 'not-a-choice',
      path: 'method.spec.reference',
      message: 'The reference is none of the prototypes of this plan. Choose one that stands there.',
      allowed: prototypes.map(({ id }) => id).join(', '),
      got: reference,
    });
  } else if (own.anchor) {
    problems.push({
      code: 'not-valid',
      path: 'method.spec.reference',
      message: `${own.name} is an anchor, and an anchor is made of the reference. Choose another prototype as the reference.`,
      got: reference,
    });
  }
  if (plan.playback !== 'renders') {
    problems.push({
      code: 'not-this-method',
      path: 'playback',
      message:
        'This method goes back and forth between an open reference and what is hidden, so the listener’s page has to play all of them. Take renders.',
      allowed: 'renders',
      got: plan.playback,
    });
  }
  return problems;
}

/** An anchor stands there once for each frequency. */
export function anchorProblems(prototypes: Plan['prototypes']): Problem[] {
  return prototypes.flatMap(({ anchor, name }, i): Problem[] => {
    if (!anchor) return [];
    const same = prototypes.findIndex((other) => other.anchor?.lowPassHz === anchor.lowPassHz);
    if (same === i) return [];
    const message = `${name}: there is an anchor of ${anchor.lowPassHz} Hz already. One of each is all that is needed.`;
    const allowed = `one each of ${planLimits.anchors.join(' and ')} Hz`;
    return [{ code: 'repeated', path: `prototypes.${i}.anchor`, message, allowed, got: String(anchor.lowPassHz) }];
  });
}
