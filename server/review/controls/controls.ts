import { addedControls } from '../../../protocols/controls';
import { protocolOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { ControlFindings } from '../../../shared/findings-controls';
import { type ControlKind, controlKinds, type Plan } from '../../../shared/plan';
import { choicesOfKnown, placesOf, secondBeside } from './choices';
import { repeatsOf } from './repeats';
import { rightsOf } from './rights';
import { unitChoices } from './unit-choices';

/**
 * What control trials say of the panel and of the samples, an entry a kind that the plan adds; undefined where it adds
 * none. Nothing of it counts for a verdict.
 * @param kept every scored answer that isn't left out, controls among the others, which a repeat is held against
 * @param label of a listener, as everywhere in the findings
 */
export function controlsOf(
  kept: readonly Outcome[],
  plan: Plan,
  label: (listener: string) => string,
): ControlFindings[] | undefined {
  if (addedControls(plan) === 0) return undefined;
  return controlKinds
    .filter((kind) => isAdded(kind, plan))
    .map((kind): ControlFindings => {
      const own = kept.filter(({ control }) => control === kind);
      if (kind === 'hiddenRepeats') return repeatsOf(kept, plan, label);
      if (kind === 'identicalPairs') {
        return protocolOf(plan.method.id).family === 'rating' ? secondBeside(own, plan, label) : placesOf(own, label);
      }
      if (protocolOf(plan.method.id).family === 'difference') return rightsOf(kind, kept, plan, label);
      return kind === 'units' ? unitChoices(own, plan) : choicesOfKnown(own, plan, label);
    });
}

function isAdded(kind: ControlKind, plan: Plan): boolean {
  if (protocolOf(plan.method.id).controls[kind] !== 'added') return false;
  const { knownDifference } = plan.controls;
  return kind === 'knownDifference' ? knownDifference !== undefined : (plan.controls[kind] ?? 0) > 0;
}
