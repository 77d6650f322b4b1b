import type { Plan } from '../shared/plan';
import { twoAfc } from './2-afc';
import { threeAfc } from './3-afc';
import { aNotA } from './a-not-a';
import { absoluteRating } from './absolute-rating';
import { abx } from './abx';
import { attributeProfile } from './attribute-profile';
import { checkAll } from './check-all';
import { comparisonRating } from './comparison-rating';
import { duoTrio } from './duo-trio';
import { firstImpressions } from './first-impressions';
import type { Form } from './form';
import { justAboutRight } from './just-about-right';
import { pairedPreference } from './paired-preference';
import type { AskedPlan, Protocol } from './protocol';
import { ranking } from './ranking';
import { referenceAndAnchors } from './reference-and-anchors';
import { sameDifferent } from './same-different';
import { severalStimuli } from './several-stimuli';
import { smallImpairments } from './small-impairments';
import { tetrad } from './tetrad';
import { triangle } from './triangle';
import { twoOutOfFive } from './two-out-of-five';

/** Every method, by id. Adding one is a file and a line here. */
export const protocols = {
  [pairedPreference.id]: pairedPreference,
  [abx.id]: abx,
  [triangle.id]: triangle,
  [duoTrio.id]: duoTrio,
  [twoAfc.id]: twoAfc,
  [threeAfc.id]: threeAfc,
  [tetrad.id]: tetrad,
  [twoOutOfFive.id]: twoOutOfFive,
  [sameDifferent.id]: sameDifferent,
  [aNotA.id]: aNotA,
  [ranking.id]: ranking,
  [severalStimuli.id]: severalStimuli,
  [referenceAndAnchors.id]: referenceAndAnchors,
  [smallImpairments.id]: smallImpairments,
  [absoluteRating.id]: absoluteRating,
  [comparisonRating.id]: comparisonRating,
  [attributeProfile.id]: attributeProfile,
  [justAboutRight.id]: justAboutRight,
  [checkAll.id]: checkAll,
  [firstImpressions.id]: firstImpressions,
} as const;

/** The method of that id, its own types forgotten: a plan's spec and an answer are checked by its schemas. */
export function protocolOf(id: string): Protocol<unknown, unknown> {
  const found = (protocols as Record<string, Protocol<never, never, never>>)[id];
  if (!found) throw new Error(`There is no method ${id}.`);
  return found as unknown as Protocol<unknown, unknown>;
}

/** The method of a plan that was checked, with its spec and its form. */
export function methodOf(plan: AskedPlan & Pick<Plan, 'method'>): {
  protocol: Protocol<unknown, unknown>;
  spec: unknown;
  form: Form;
} {
  const protocol = protocolOf(plan.method.id);
  const spec = protocol.spec.parse(plan.method.spec);
  return { protocol, spec, form: protocol.form(spec, plan) };
}
