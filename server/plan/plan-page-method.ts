import { protocolOf } from '../../protocols/index';
import { aims, type MethodId, noPreferenceRules } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { aimWords, methodWords } from '../../shared/words/methods';
import { noneRuleWords } from '../plan-words';
import type { Field } from '../web/page';
import { samplesOf } from './anchors';
import { choices } from './choices';
import { type Draft, fieldNames } from './draft';
import { hasWindow } from './method-fields';
import { aimShown, methodShown, smallestKind } from './usual';
import type { PlanPage, PlanRanking, PlanTrials, PlanTurns } from './view-models';
import { waysOf } from './ways';

/** The parts of the plan page that each method has of its own. */

export type FieldOf = (name: string, value: string) => Field;

export function methodPart(draft: Draft, shown: readonly Problem[]): PlanPage['method'] {
  const id = methodShown(draft.method);
  const aim = aimShown(draft);
  const errorAt = (path: string) => shown.find((problem) => problem.path === path)?.message ?? null;
  const { name, asks } = methodWords[id];
  return {
    id,
    aim,
    error: errorAt(fieldNames.method),
    aimError: errorAt(fieldNames.aim),
    aims: aims.map((one) => ({
      id: one,
      asks: aimWords[one].asks,
      means: aimWords[one].means,
      chosen: one === aim,
    })),
    taken: { name, asks, about: `/about/methods/${id}` },
    ways: waysOf(draft),
  };
}

const trialHints: Partial<Record<MethodId, string>> = {
  'same-different': 'An even number: half of the pairs are the same. Ears tire after some 15.',
  'a-not-a': 'An even number: half of them are the one that was learnt. One sample each, so there may be more.',
};

/** Methods that count trials, each with what it asks of the plan besides. */
export function trialsPart(draft: Draft, field: FieldOf): PlanTrials | null {
  const method = methodShown(draft.method);
  if (protocolOf(method).family !== 'difference') return null;
  return {
    head: trialsHead(method),
    trials: field(fieldNames.trials, draft.trials),
    hint:
      trialHints[method] ?? 'Six are usual where samples are handed over; more find more, until ears tire at some 15.',
    attribute: method === '2-afc' || method === '3-afc' ? field(fieldNames.attribute, draft.attribute) : null,
    reference:
      method === 'duo-trio'
        ? choices(['balanced', 'constant'] as const, draft.reference, (value) =>
            value === 'balanced'
              ? ['Either of the two', 'Each stands first equally often.']
              : ['Always the same one', 'For a sample that everybody knows; chosen under Risks.'],
          )
        : null,
    showOther: method === 'a-not-a' ? { ticked: draft.showOther } : null,
  };
}

function trialsHead(method: MethodId): string {
  const { chance } = protocolOf(method);
  const { asks } = methodWords[method];
  if (chance === null) return asks;
  const one = { 2: 'half of them', 3: 'a third of them', 10: 'one in ten' }[Math.round(1 / chance)] ?? 'some of them';
  return `${asks} Orders are drawn, so whoever hears nothing is right in ${one}.`;
}

export function rankingPart(draft: Draft, field: FieldOf): PlanRanking {
  return {
    size: field(fieldNames.size, draft.size),
    rankings: field(fieldNames.rankings, draft.rankings),
    predicted: draft.predicted,
    order: draft.prototypes.map(({ name }, i) => name.trim() || `Prototype ${i + 1}`).join(', '),
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

export const closingPart = (draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanPage['closing'] => ({
  asked: draft.closing.asked,
  error: shown.find(({ path }) => path === 'closingQuestion.labels')?.message ?? null,
  labels: samplesOf(draft).map(({ id, name }, i) => ({
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
    answer: protocolOf(methodShown(draft.method)).family === 'rating' ? 'Rating one sample' : 'Answering',
    clean: 'Cleaning',
    pause: 'Rest between trials',
  } as const;
  const windowed = hasWindow(draft.method);
  return (['clean', 'swap', 'fit', 'listen', 'answer', 'pause'] as const)
    .filter((step) => !windowed || (step !== 'listen' && step !== 'answer'))
    .map((step) => ({
      field: field(`timing.${step}`, draft.timing[step]),
      label: steps[step],
      handed: step === 'swap' || step === 'fit' || step === 'clean',
    }));
}

export function risksPart(draft: Draft, field: FieldOf): PlanPage['risks'] {
  const kind = smallestKind(draft.method);
  const similar = aimShown(draft) === 'similarity';
  const hint = {
    share: 'Share of preferences, over 0.5.',
    heard: 'Share of trials truly heard.',
    points: 'Points of the scale.',
    ticked: 'Share of listeners who tick a word, the one less the other.',
    'd-prime': 'Distance to the ear, d′.',
  }[kind];
  return {
    similar,
    alpha: field(fieldNames.alpha, draft.alpha),
    beta: field(fieldNames.beta, draft.beta),
    smallest: field(fieldNames.smallest, draft.smallest[kind]),
    smallestHint: similar ? 'The limit: heard in so many trials it would matter.' : hint,
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

/** Why one of two is asked for: by the part that it has in the method. Null where both are alike. */
export function roleOf(draft: Draft): { legend: string; hint: string } | null {
  switch (methodShown(draft.method)) {
    case '2-afc':
    case '3-afc':
      return {
        legend: `The one that should have more${draft.attribute.trim() ? ` ${draft.attribute.trim()}` : ''}`,
        hint: 'Only that direction is tested.',
      };
    case 'a-not-a':
      return { legend: 'The one that is learnt', hint: 'Listeners hear it first, and are asked about it afterwards.' };
    case 'duo-trio':
      return draft.reference === 'constant'
        ? { legend: 'The one that always stands first', hint: 'The reference that everybody knows.' }
        : null;
    default:
      return null;
  }
}
