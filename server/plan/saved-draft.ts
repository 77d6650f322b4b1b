import { handsOver, type Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';
import type { Draft } from './draft';
import { newUnit } from './draft-parts';
import { draftScale, draftSound, ruleBoxes, usualDraft } from './usual';

/** A draft as it was kept. One that an older version kept gets what it didn't know yet, as it usually is. */
export function openDraft(saved: string): Draft {
  const old = JSON.parse(saved) as Partial<Omit<Draft, 'smallest'>> & { smallest?: string | Draft['smallest'] };
  const fresh = usualDraft();
  const { firstImpression: impression } = fresh;
  return {
    ...fresh,
    ...old,
    // Once a share of preferences was all there was.
    smallest: { ...fresh.smallest, ...(typeof old.smallest === 'string' ? { share: old.smallest } : old.smallest) },
    firstImpression: {
      ...impression,
      ...old.firstImpression,
      reset: { ...impression.reset, ...old.firstImpression?.reset },
    },
    checkIn: { ...fresh.checkIn, ...old.checkIn },
    exclusions: { ...fresh.exclusions, ...old.exclusions },
    noPreference: { ...fresh.noPreference, ...old.noPreference },
    primary: { ...fresh.primary, ...old.primary },
    timing: { ...fresh.timing, ...old.timing },
    sound: { ...fresh.sound, ...old.sound, match: { ...fresh.sound.match, ...old.sound?.match } },
    closing: { ...fresh.closing, ...old.closing },
  };
}

/** A number as people type it, which is never with an exponent. */
const typed = (value: number): string =>
  String(value).includes('e') ? value.toFixed(20).replace(/0+$/, '') : String(value);

/**
 * A plan as a draft again, for a study that goes on from it: same prototypes, panel, scales and ids, so that what is
 * known of a listener's earlier hearings still fits.
 */
export function draftFromPlan(plan: Plan, follows: Draft['follows']): Draft {
  const usual = usualDraft(plan.method.id);
  const spec = plan.method.spec as { turns?: number; trials?: number; scales?: Scale[] };
  const { risks, sessions, firstImpression: impression } = plan;
  const handed = handsOver(plan);
  return {
    ...usual,
    title: plan.title,
    question: plan.question,
    prototypes: plan.prototypes.map(({ id, name, units }) => ({
      id,
      name,
      // Where there are none yet, one is offered: what was played as a render may go on as something to hold.
      units: handed ? units.map((unit) => ({ id: unit.id, serial: unit.serial, note: unit.note ?? '' })) : [newUnit()],
    })),
    excerpts: plan.excerpts.map(({ id, name }) => ({ id, name })),
    audiences: plan.audiences.map(({ id, name, listeners }) => ({ id, name, listeners: typed(listeners) })),
    turns: spec.turns === undefined ? usual.turns : typed(spec.turns),
    trials: spec.trials === undefined ? usual.trials : typed(spec.trials),
    scales: spec.scales === undefined ? usual.scales : spec.scales.map(draftScale),
    firstImpression: impression
      ? {
          windowSeconds: typed(impression.windowSeconds),
          answerSeconds: typed(impression.answerSeconds),
          reset: {
            kind: impression.reset.kind,
            seconds: typed(impression.reset.seconds),
            item: impression.reset.item ?? '',
          },
        }
      : usual.firstImpression,
    hiddenRepeats: plan.controls.hiddenRepeats === undefined ? usual.hiddenRepeats : typed(plan.controls.hiddenRepeats),
    sessions: typed(sessions.count),
    gapHours: typed(sessions.minimumGapHours),
    spanDays: sessions.maximumSpanDays === 0 ? '' : typed(sessions.maximumSpanDays),
    missed: sessions.missed,
    checkIn: { ...plan.checkIn },
    exclusions: ruleBoxes(plan.exclusions),
    noPreference: { ...plan.noPreference },
    alpha: typed(risks.alpha),
    beta: typed(risks.beta),
    smallest: { ...usual.smallest, [risks.smallest.kind]: typed(risks.smallest.value) },
    sides: plan.method.id === 'paired-preference' ? risks.sides : usual.sides,
    primary: {
      first: plan.primary.first,
      second: plan.primary.second,
      scale: plan.primary.scale ?? usual.primary.scale,
    },
    handling: handed ? plan.handling : usual.handling,
    playback: plan.playback,
    sound: plan.sound === undefined ? usual.sound : draftSound(plan.sound),
    staleDays: plan.levels === undefined ? usual.staleDays : typed(plan.levels.staleDays),
    tips: plan.tips,
    timing: {
      listen: typed(plan.timing.listen),
      swap: handed ? typed(plan.timing.swap) : usual.timing.swap,
      fit: handed ? typed(plan.timing.fit) : usual.timing.fit,
      answer: typed(plan.timing.answer),
    },
    closing: {
      asked: plan.closingQuestion !== undefined,
      words: Object.fromEntries((plan.closingQuestion?.labels ?? []).map(({ prototype, words }) => [prototype, words])),
    },
    follows,
  };
}
