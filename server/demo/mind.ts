import { protocolOf } from '../../protocols/index';
import { type Plan, planLimits, usualCheckIn } from '../../shared/plan';
import { type Scale, starterScales } from '../../shared/scales';
import { aimOf, type PlanInMind } from './plan-form';

/**
 * A plan as the virtual listeners of the demo know it: prototypes by name, and what is heard, asked and waited for. What
 * they have nothing to do with is as it usually is.
 */
export function mindOf(plan: PlanInMind): Plan {
  const id = plan.method ?? 'paired-preference';
  const { smallest } = protocolOf(id);
  const scales = starterScales.filter((scale) => plan.scales?.includes(scale.id));
  const [first = '', second = ''] = plan.primary ?? plan.prototypes.map(({ name }) => name);
  const { windowSeconds, answerSeconds, reset } = plan;
  return {
    format: 'fair-hearing/plan',
    version: 1,
    title: plan.title,
    question: plan.question,
    aim: aimOf(plan),
    method: { id, spec: specOf(plan, scales) },
    prototypes: plan.prototypes.map(({ name, units }) => ({
      id: name,
      name,
      units: units.map(({ serial }) => ({ id: serial, serial })),
    })),
    excerpts: (plan.excerpts ?? []).map((name) => ({ id: name, name })),
    audiences: plan.audiences.map(({ name, listeners }) => ({ id: name, name, listeners })),
    sessions: { count: plan.sessions ?? 1, minimumGapHours: 0, maximumSpanDays: 0, missed: 'make-up' },
    checkIn: usualCheckIn,
    handling: plan.handling,
    playback: plan.playback ?? 'bench-player',
    tips: 'own-tips',
    risks: { alpha: 0.05, beta: 0.2, smallest: { kind: smallest, value: 0.75 }, sides: 'two-sided' },
    primary: { first, second, ...(plan.primaryScale === undefined ? {} : { scale: plan.primaryScale }) },
    family: 'holm',
    looks: { kind: 'fixed' },
    exclusions: plan.exclusions ?? [],
    controls: {
      hiddenRepeats: plan.hiddenRepeats ?? 0,
      ...(plan.identicalPairs === undefined ? {} : { identicalPairs: plan.identicalPairs }),
      ...(plan.knownDifference === undefined ? {} : { knownDifference: plan.knownDifference }),
      ...(plan.unitPairs === undefined ? {} : { units: plan.unitPairs }),
    },
    noPreference: { offered: plan.noPreference !== undefined, rule: plan.noPreference ?? 'split' },
    firstImpression: {
      windowSeconds: windowSeconds ?? planLimits.window.usual,
      answerSeconds: answerSeconds ?? planLimits.answer.usual,
      reset: { kind: 'silence', seconds: reset?.seconds ?? planLimits.reset.usual },
    },
    timing: { listen: 20, swap: 25, fit: 15, answer: 15 },
  };
}

/** What was left out is as the method has it. */
function specOf(plan: PlanInMind, scales: readonly Scale[]): Record<string, unknown> {
  const { method, turns, trials, attribute, reference, showOther, size, rankings, predicted } = plan;
  switch (method ?? 'paired-preference') {
    case 'paired-preference':
      return { turns };
    case 'first-impressions':
      return { scales };
    case 'attribute-profile':
      return { scales: scales.map((scale) => ({ ...scale, definition: '' })), rounds: 1 };
    case 'ranking':
      return { size: size ?? plan.prototypes.length, rankings: rankings ?? 1, predicted: predicted ?? false };
    default:
      return {
        trials,
        ...(attribute === undefined ? {} : { attribute }),
        ...(reference === undefined ? {} : { reference }),
        ...(showOther === undefined ? {} : { showOther }),
      };
  }
}
