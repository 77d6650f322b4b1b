import { protocolOf, protocols } from '../../protocols/index';
import { type Aim, type MethodId, methodIds, noPreferenceRules, resets } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { polarities, scaleLimits, starterScales } from '../../shared/scales';
import { aimWords, methodWords } from '../../shared/words/methods';
import { methodNames, noneRuleWords } from '../plan-words';
import type { Field } from '../web/page';
import { choices } from './choices';
import { type Draft, fieldNames } from './draft';
import { isMethod, methodShown, smallestKind } from './usual';
import type { PlanPage, PlanRatings, PlanTurns } from './view-models';

/** The parts of the plan page that each method has of its own. */

export type FieldOf = (name: string, value: string) => Field;

/** What somebody wants to know, by the method that answers it. */
export const aims = Object.fromEntries(
  Object.entries(methodWords).map(([id, { asks }]) => {
    const aim = isMethod(id) && id in protocols ? aimWords[protocolOf(id).aims[0] as Aim].asks : '';
    return [id, { aim, how: asks }];
  }),
) as Record<MethodId, { aim: string; how: string }>;

/** The order in which they are offered: first whether, then which, then how. */
export const methodOrder: readonly MethodId[] = ['abx', 'paired-preference', 'first-impressions'];

export function methodPart(draft: Draft, shown: readonly Problem[]): PlanPage['method'] {
  const id = methodShown(draft.method);
  return {
    id,
    error: shown.find(({ path }) => path === fieldNames.method)?.message ?? null,
    choices: [...methodIds]
      .filter((one) => methodOrder.includes(one))
      .sort((a, b) => methodOrder.indexOf(a) - methodOrder.indexOf(b))
      .map((one) => ({ id: one, ...aims[one], name: methodNames[one], chosen: one === id })),
  };
}

export function turnsPart(draft: Draft, field: FieldOf): PlanTurns {
  const pairs = (draft.prototypes.length * (draft.prototypes.length - 1)) / 2;
  return {
    turns: field(fieldNames.turns, draft.turns),
    hint: pairs === 1 ? 'How often the pair is put in a sitting.' : `In multiples of ${pairs}, the number of pairs.`,
    noPreference: {
      offered: draft.noPreference.offered,
      rules: choices(noPreferenceRules, draft.noPreference.rule, (rule) => [
        rule === 'split' ? 'Half for each' : 'Leave it out',
        `“No preference” ${noneRuleWords[rule]}.`,
      ]),
    },
  };
}

export function ratingsPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanRatings {
  const errorAt = (path: string) => shown.find((problem) => problem.path === path)?.message ?? null;
  const { windowSeconds, answerSeconds, reset } = draft.firstImpression;
  return {
    scales: draft.scales.map((scale, i) => {
      const at = (name: string) => `method.spec.scales.${i}.${name}`;
      return {
        number: i + 1,
        label: `Scale ${i + 1}`,
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
        removable: draft.scales.length > 1,
      };
    }),
    error: errorAt('method.spec.scales'),
    starters: starterScales
      .filter(({ id }) => !draft.scales.some((scale) => scale.id === id))
      .map(({ id, name, low, high }) => ({ id, name, ends: `${low} – ${high}` })),
    canAdd: draft.scales.length < scaleLimits.scales,
    caution:
      draft.scales.length > scaleLimits.page
        ? `${draft.scales.length} scales are two pages on the phone: what is rated on the second is no first impression any more.`
        : null,
    window: field('firstImpression.windowSeconds', windowSeconds),
    answer: field('firstImpression.answerSeconds', answerSeconds),
    resets: choices(resets, reset.kind, (kind) =>
      kind === 'silence' ? ['Silence', null] : ['A neutral piece', 'Not through the samples; the same for everybody.'],
    ),
    resetSeconds: field('firstImpression.reset.seconds', reset.seconds),
    resetItem: field('firstImpression.reset.item', reset.item),
    hiddenRepeats: field(fieldNames.hiddenRepeats, draft.hiddenRepeats),
  };
}

export const closingPart = (draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanPage['closing'] => ({
  asked: draft.closing.asked,
  error: shown.find(({ path }) => path === 'closingQuestion.labels')?.message ?? null,
  labels: draft.prototypes.map(({ id, name }, i) => ({
    field: field(`closingQuestion.labels.${i}.words`, draft.closing.words[id] ?? ''),
    label: name.trim() || `Prototype ${i + 1}`,
  })),
});

/** Seconds that are an estimate; the others of a first impression are fixed by the plan. */
export function timingPart(draft: Draft, field: FieldOf): PlanPage['timing'] {
  const steps = {
    listen: 'Listening',
    swap: 'Swapping',
    fit: 'Fit and seal',
    answer: 'Answering',
  } as const;
  const rating = methodShown(draft.method) === 'first-impressions';
  return (['swap', 'fit', 'listen', 'answer'] as const)
    .filter((step) => !rating || step === 'swap' || step === 'fit')
    .map((step) => ({
      field: field(`timing.${step}`, draft.timing[step]),
      label: steps[step],
      handed: step === 'swap' || step === 'fit',
    }));
}

export function risksPart(draft: Draft, field: FieldOf): PlanPage['risks'] {
  const kind = smallestKind(draft.method);
  const hint = {
    share: 'Share of preferences, over 0.5.',
    heard: 'Share of trials truly heard.',
    points: 'Points of the scale.',
    'd-prime': 'Distance to the ear, d′.',
  }[kind];
  return {
    alpha: field(fieldNames.alpha, draft.alpha),
    beta: field(fieldNames.beta, draft.beta),
    smallest: field(fieldNames.smallest, draft.smallest[kind]),
    smallestHint: hint,
    sides:
      methodShown(draft.method) === 'paired-preference'
        ? choices(['two-sided', 'one-sided'] as const, draft.sides, (side) =>
            side === 'two-sided'
              ? ['Two-sided', 'Either may turn out to be preferred.']
              : ['One-sided', 'Only “the first is preferred” can be shown.'],
          )
        : null,
  };
}
