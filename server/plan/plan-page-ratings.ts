import { designBlocks } from '../../protocols/ranking-order';
import { resets } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { polarities, scaleLimits } from '../../shared/scales';
import { methodWords } from '../../shared/words/methods';
import { screeningRule } from '../method-words';
import { anchorName } from './anchors';
import { choices } from './choices';
import { type Draft, type DraftScale, fieldNames } from './draft';
import { mostRights } from './draft-parts';
import { fieldsOf } from './method-fields';
import type { FieldOf } from './plan-page-method';
import { rightStarters, scaleStarters } from './starters';
import { methodShown } from './usual';
import type { PlanGrades, PlanImpression, PlanRights, PlanScale, PlanScales, PlanTicks } from './view-models';

/** The parts of the plan page about scales, grades and words to tick. */

type ErrorAt = (path: string) => string | null;

const errorsIn =
  (shown: readonly Problem[]): ErrorAt =>
  (path) =>
    shown.find((problem) => problem.path === path)?.message ?? null;

function scalePart(
  scale: DraftScale,
  path: string,
  { number = 1, label = 'Name', removable = false, defined = false },
  field: FieldOf,
  errorAt: ErrorAt,
): PlanScale {
  const at = (name: string) => `${path}.${name}`;
  return {
    number,
    label,
    id: scale.id,
    name: field(at('name'), scale.name),
    low: field(at('low'), scale.low),
    high: field(at('high'), scale.high),
    points: field(at('points'), scale.points),
    polarity: choices(polarities, scale.polarity, (value) => [
      value === 'bipolar' ? 'Opposites, 0 between' : 'Little to much',
      null,
    ]),
    polarityId: at('polarity'),
    polarityError: errorAt(at('polarity')),
    definition: defined ? field(at('definition'), scale.definition) : null,
    removable,
  };
}

export function scalesPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanScales | null {
  const { scales: asked, window } = fieldsOf(methodShown(draft.method));
  if (!asked) return null;
  const errorAt = errorsIn(shown);
  const { scales } = draft;
  const pages = scales.length > scaleLimits.page;
  return {
    head: asked.defined
      ? 'One word for one thing that is heard, and everybody means the same by it. Listeners can read the definition.'
      : 'Three fit on one page of the phone. Everybody gets them in an order of their own, the same for all samples.',
    scales: scales.map((scale, i) =>
      scalePart(
        scale,
        `method.spec.scales.${i}`,
        { number: i + 1, label: `Scale ${i + 1}`, removable: scales.length > 1, defined: asked.defined },
        field,
        errorAt,
      ),
    ),
    error: errorAt('method.spec.scales'),
    starters: scaleStarters
      .filter(({ id }) => !scales.some((scale) => scale.id === id))
      .map(({ id, name, low, high }) => ({ id, name, ends: `${low} – ${high}` })),
    canAdd: scales.length < asked.most,
    caution:
      pages && window
        ? `${scales.length} scales are two pages on the phone: what is rated on the second is no first impression any more.`
        : null,
  };
}

export function impressionPart(draft: Draft, field: FieldOf): PlanImpression | null {
  if (!fieldsOf(methodShown(draft.method)).window) return null;
  const { windowSeconds, answerSeconds, reset } = draft.firstImpression;
  return {
    window: field('firstImpression.windowSeconds', windowSeconds),
    answer: field('firstImpression.answerSeconds', answerSeconds),
    resets: choices(resets, reset.kind, (kind) =>
      kind === 'silence' ? ['Silence', null] : ['A neutral piece', 'Not through the samples; the same for everybody.'],
    ),
    resetSeconds: field('firstImpression.reset.seconds', reset.seconds),
    resetItem: field('firstImpression.reset.item', reset.item),
    hiddenRepeats: field(fieldNames.hiddenRepeats, draft.hiddenRepeats),
    words: draft.words,
  };
}

export function gradesPart(
  draft: Draft,
  field: FieldOf,
  shown: readonly Problem[],
  repeatsOwn: boolean,
): PlanGrades | null {
  const method = methodShown(draft.method);
  const asked = fieldsOf(method);
  if (!asked.rounds && !asked.trials) return null;
  return {
    title: asked.trials ? 'Trials' : asked.ownScale === 'comparison' ? 'Pairs' : 'Samples',
    head: methodWords[method].asks,
    rounds: asked.rounds ? field(fieldNames.rounds, draft.rounds) : null,
    roundsHint: roundsHint(method, draft.prototypes.length),
    trials: asked.trials ? field(fieldNames.trials, draft.gradedTrials) : null,
    size: asked.size ? field(fieldNames.size, draft.together) : null,
    sizeHint: sizeHint(draft.prototypes.length),
    hiddenRepeats: repeatsOwn ? field(fieldNames.hiddenRepeats, draft.hiddenRepeats) : null,
    reference: asked.reference
      ? {
          samples: draft.prototypes.map(({ id, name }, i) => ({
            value: id,
            label: name.trim() || `Prototype ${i + 1}`,
            hint: null,
            chosen: id === draft.openReference,
          })),
          id: fieldNames.reference,
          error: errorsIn(shown)(fieldNames.reference),
        }
      : null,
    anchors: asked.anchors
      ? Object.entries(draft.anchors).map(([hertz, ticked]) => ({
          id: `anchors.${hertz}`,
          label: anchorName(Number(hertz)),
          ticked,
        }))
      : null,
    screening: asked.screening ? { ticked: draft.screening, rule: screeningRule(method) } : null,
  };
}

function roundsHint(method: string, prototypes: number): string {
  const pairs = (prototypes * (prototypes - 1)) / 2;
  switch (method) {
    case 'comparison-rating':
      return `Each of ${pairs === 1 ? 'the one pair' : `the ${pairs} pairs`} in both orders is one round: ${2 * pairs} trials.`;
    case 'small-impairments':
      return `All but the reference once is one round: ${prototypes - 1} trials.`;
    default:
      return 'All samples once is one round.';
  }
}

/** Sizes of a trial in which, over the panel, any two samples meet equally often. */
function sizeHint(prototypes: number): string {
  const balanced = Array.from({ length: Math.max(0, prototypes - 2) }, (_, i) => i + 2).filter(
    (size) => designBlocks(prototypes, size) !== null,
  );
  const all = `Empty: all ${prototypes}.`;
  return balanced.length === 0 ? all : `${all} Balanced with fewer: ${balanced.join(', ')}.`;
}

export function rightsPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanRights | null {
  if (!fieldsOf(methodShown(draft.method)).rights) return null;
  const errorAt = errorsIn(shown);
  return {
    liking: scalePart(draft.liking, fieldNames.liking, {}, field, errorAt),
    rights: draft.rights.map(({ id, name, low, high }, i) => {
      const at = (what: string) => `method.spec.scales.${i}.${what}`;
      return {
        number: i + 1,
        id,
        name: field(at('name'), name),
        low: field(at('low'), low),
        high: field(at('high'), high),
        removable: draft.rights.length > 1,
      };
    }),
    error: errorAt('method.spec.scales'),
    starters: rightStarters
      .filter(({ id }) => !draft.rights.some((right) => right.id === id))
      .map(({ id, name, low, high }) => ({ id, name, ends: `${low} – ${high}` })),
    canAdd: draft.rights.length < mostRights,
  };
}

export function ticksPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanTicks | null {
  if (!fieldsOf(methodShown(draft.method)).attributes) return null;
  const errorAt = errorsIn(shown);
  return {
    attributes: field(fieldNames.attributes, draft.attributes),
    lines: Math.min(16, Math.max(6, draft.attributes.split('\n').length + 1)),
    asked: draft.likingAsked,
    liking: scalePart(draft.liking, fieldNames.liking, {}, field, errorAt),
  };
}
