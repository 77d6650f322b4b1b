import { protocolOf } from '../../protocols/index';
import { handsOver, type Plan } from '../../shared/plan';
import type { Scale } from '../../shared/scales';
import { anchorNames } from './anchors';
import type { Draft } from './draft';
import { newUnit } from './draft-parts';
import { fieldsOf } from './method-fields';
import { draftScale, usualDefinition } from './starters';
import { asTyped, tickedWords } from './ticked-words';
import { draftSound, methodShown, ruleBoxes, usualDraft } from './usual';

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
    verdictDays: { ...fresh.verdictDays, ...old.verdictDays },
    checkIn: { ...fresh.checkIn, ...old.checkIn },
    exclusions: { ...fresh.exclusions, ...old.exclusions },
    noPreference: { ...fresh.noPreference, ...old.noPreference },
    primary: { ...fresh.primary, ...old.primary },
    scales: (old.scales ?? fresh.scales).map((scale) => ({
      ...scale,
      definition: scale.definition ?? usualDefinition(scale.id),
    })),
    anchors: { ...fresh.anchors, ...old.anchors },
    liking: { ...fresh.liking, ...old.liking },
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
  /** Just-about-right scales have neither kind nor points. */
  scales?: (Pick<Scale, 'id' | 'name' | 'low' | 'high'> & Partial<Scale> & { definition?: string })[];
  words?: true;
  rounds?: number;
  screening?: boolean;
  liking?: Scale | null;
  attributes?: { id: string; name: string; definition?: string }[];
  attribute?: string;
  reference?: string;
  showOther?: boolean;
  size?: number;
  rankings?: number;
  predicted?: boolean;
}

const repeatsOwn = (method: string): boolean => protocolOf(method).controls.hiddenRepeats === 'own';

/** Controls as they are typed, but for those that a method draws itself. */
function draftControls({ controls, method }: Plan): Draft['controls'] {
  const count = (value: number | undefined) => (value === undefined || value === 0 ? '' : typed(value));
  const { hiddenRepeats, identicalPairs, knownDifference, units } = controls;
  return {
    hiddenRepeats: repeatsOwn(method.id) ? '' : count(hiddenRepeats),
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
  const own = fieldsOf(plan.method.id);
  const { risks, sessions, firstImpression: impression } = plan;
  const handed = handsOver(plan);
  return {
    ...usual,
    title: plan.title,
    question: plan.question,
    product: plan.product ?? usual.product,
    aim: plan.aim,
    // Anchors are made of the reference, so that a box is all there is of them.
    prototypes: plan.prototypes
      .filter(({ anchor }) => !anchor)
      .map(({ id, name, units }) => ({
        id,
        name,
        // Where there are none yet, one is offered: what was played as a render may go on as something to hold.
        units: handed
          ? units.map((unit) => ({ id: unit.id, serial: unit.serial, note: unit.note ?? '' }))
          : [newUnit()],
      })),
    prices: Object.fromEntries(
      plan.prototypes.flatMap(({ id, priceClass }) =>
        priceClass ? [[id, { rank: typed(priceClass.rank), words: priceClass.words }]] : [],
      ),
    ),
    excerpts: plan.excerpts.map(({ id, name }) => ({ id, name })),
    audiences: plan.audiences.map(({ id, name, listeners }) => ({ id, name, listeners: typed(listeners) })),
    pooling: plan.pooling ?? usual.pooling,
    turns: spec.turns === undefined ? usual.turns : typed(spec.turns),
    trials: spec.trials === undefined || own.trials ? usual.trials : typed(spec.trials),
    attribute: spec.attribute ?? usual.attribute,
    reference: own.reference ? usual.reference : (spec.reference ?? usual.reference),
    showOther: spec.showOther ?? usual.showOther,
    size: spec.size === undefined || own.size ? usual.size : typed(spec.size),
    rankings: spec.rankings === undefined ? usual.rankings : typed(spec.rankings),
    predicted: spec.predicted ?? usual.predicted,
    scales: own.scales && spec.scales ? (spec.scales as Scale[]).map(draftScale) : usual.scales,
    words: spec.words ?? usual.words,
    rounds: spec.rounds === undefined ? usual.rounds : typed(spec.rounds),
    gradedTrials: own.trials && spec.trials !== undefined ? typed(spec.trials) : usual.gradedTrials,
    together:
      own.size && spec.size !== undefined && spec.size !== plan.prototypes.length ? typed(spec.size) : usual.together,
    openReference: own.reference ? (spec.reference ?? usual.openReference) : usual.openReference,
    anchors: own.anchors
      ? (Object.fromEntries(
          anchorNames.map((hertz) => [
            hertz,
            plan.prototypes.some(({ anchor }) => anchor?.lowPassHz === Number(hertz)),
          ]),
        ) as Draft['anchors'])
      : usual.anchors,
    screening: spec.screening ?? usual.screening,
    liking: spec.liking ? { ...draftScale(spec.liking), definition: '' } : usual.liking,
    likingAsked: spec.liking === undefined ? usual.likingAsked : spec.liking !== null,
    rights:
      own.rights && spec.scales
        ? spec.scales.map(({ id, name, low, high }) => ({ id, name, low, high }))
        : usual.rights,
    attributes: spec.attributes ? asTyped(spec.attributes) : usual.attributes,
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
      !repeatsOwn(plan.method.id) || plan.controls.hiddenRepeats === undefined
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
    verdictDays: daysTyped(plan) ?? usual.verdictDays,
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
      scale: primaryScale(plan, spec) ?? usual.primary.scale,
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

/** Words to tick have the ids that their lines have here. */
function primaryScale({ primary: { scale } }: Plan, { attributes }: SpecSaid): string | undefined {
  const place = attributes?.findIndex(({ id }) => id === scale) ?? -1;
  return attributes && place >= 0 ? tickedWords(asTyped(attributes))[place]?.id : scale;
}

/** Which sittings count, by the choice that says it shortest. */
function daysTyped({ verdictDays, sessions: { count } }: Plan): Draft['verdictDays'] | null {
  if (!verdictDays) return null;
  const { from, to } = verdictDays;
  const kind =
    from === 1 && to === 1
      ? 'first'
      : from === 2 && to === count
        ? 'later'
        : from === count && to === count
          ? 'last'
          : 'range';
  return { kind, from: typed(from), to: typed(to) };
}
