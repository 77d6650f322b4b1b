import { protocolOf } from '../../protocols/index';
import { handsOver, type Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';
import type { Draft } from './draft';
import { newUnit } from './draft-parts';
import { draftScale, draftSound, methodShown, ruleBoxes, usualDraft } from './usual';

/** A draft as it was kept. One that an older version kept gets what it didn't know yet, as it usually is. */
export function openDraft(saved: string): Draft {
  const old = JSON.parse(saved) as Partial<Omit<Draft, 'smallest'>> & { smallest?: string | Draft['smallest'] };
  const fresh = usualDraft();
  const { firstImpression: impression } = fresh;
  return {
    ...fresh,
    ...old,
    // Once each method had one aim, and the draft didn't name it.
    aim: old.aim ?? protocolOf(methodShown(old.method ?? fresh.method)).aims[0] ?? fresh.aim,
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
    controls: {
      ...fresh.controls,
      ...old.controls,
      knownDifference: { ...fresh.controls.knownDifference, ...old.controls?.knownDifference },
    },
    looks: { ...fresh.looks, ...old.looks },
    budget: { ...fresh.budget, ...old.budget },
    sound: { ...fresh.sound, ...old.sound, match: { ...fresh.sound.match, ...old.sound?.match } },
    closing: { ...fresh.closing, ...old.closing },
  };
}

/** What specs of methods may hold. */
interface SpecSaid {
  turns?: number;
  trials?: number;
  scales?: Scale[];
  attribute?: string;
  reference?: string;
  showOther?: boolean;
  size?: number;
  rankings?: number;
  predicted?: boolean;
}

/** Controls as they are typed; those of first impressions are part of the method. */
function draftControls({ controls, method }: Plan): Draft['controls'] {
  const count = (value: number | undefined) => (value === undefined || value === 0 ? '' : typed(value));
  const { hiddenRepeats, identicalPairs, knownDifference, units } = controls;
  return {
    hiddenRepeats: protocolOf(method.id).family === 'rating' ? '' : count(hiddenRepeats),
    identicalPairs: count(identicalPairs),
    knownDifference: {
      trials: count(knownDifference?.trials),
      prototype: knownDifference?.prototype ?? '',
    },
    units: count(units),
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
  const spec = plan.method.spec as SpecSaid;
  const { risks, sessions, firstImpression: impression } = plan;
  const handed = handsOver(plan);
  return {
    ...usual,
    title: plan.title,
    question: plan.question,
    aim: plan.aim,
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
    attribute: spec.attribute ?? usual.attribute,
    reference: spec.reference ?? usual.reference,
    showOther: spec.showOther ?? usual.showOther,
    size: spec.size === undefined ? usual.size : typed(spec.size),
    rankings: spec.rankings === undefined ? usual.rankings : typed(spec.rankings),
    predicted: spec.predicted ?? usual.predicted,
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
    hiddenRepeats:
      protocolOf(plan.method.id).family !== 'rating' || plan.controls.hiddenRepeats === undefined
        ? usual.hiddenRepeats
        : typed(plan.controls.hiddenRepeats),
    controls: draftControls(plan),
    looks: {
      kind: plan.looks.kind,
      bounds: plan.looks.kind === 'sequential' ? plan.looks.bounds : usual.looks.bounds,
    },
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
    sides: protocolOf(plan.method.id).family === 'preference' ? risks.sides : usual.sides,
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
      clean: plan.timing.clean === undefined ? usual.timing.clean : typed(plan.timing.clean),
      pause: plan.timing.pause === undefined ? usual.timing.pause : typed(plan.timing.pause),
    },
    closing: {
      asked: plan.closingQuestion !== undefined,
      words: Object.fromEntries((plan.closingQuestion?.labels ?? []).map(({ prototype, words }) => [prototype, words])),
    },
    follows,
  };
}
