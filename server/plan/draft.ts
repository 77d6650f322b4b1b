import { protocolOf } from '../../protocols/index';
import { type Condition, conditions, type ExclusionRule, exclusionRules, type Plan } from '../../shared/plan';
import type { Values } from '../web/forms';
import { type AnchorName, anchorNames, samplesOf } from './anchors';
import { fieldsOf, hasWindow } from './method-fields';
import { isMethod, methodShown, rulesOffered, smallestKind } from './usual';

/**
 * A plan while it is written: every field as it was typed, so that nothing typed is ever lost. What belongs to another
 * method than the one chosen is kept as well, and comes back with it.
 */
export interface Draft {
  title: string;
  question: string;
  /** What is being tuned, over studies; may be empty. */
  product: string;
  /** What somebody wants to know; the method is one that answers it. */
  aim: string;
  method: string;
  prototypes: { id: string; name: string; units: { id: string; serial: string; note: string }[] }[];
  /** What prototypes would cost, by their id. */
  prices: Record<string, { rank: string; words: string }>;
  excerpts: { id: string; name: string }[];
  audiences: { id: string; name: string; listeners: string }[];
  /** Whether all audiences together get a verdict as well. */
  pooling: string;
  turns: string;
  /** Of every method that counts them. */
  trials: string;
  /** What one sample should have more of, in methods that ask for it by name. */
  attribute: string;
  /** Duo-trio: what stands first. */
  reference: string;
  /** A-not-A: the other prototype is shown while the first is learnt. */
  showOther: boolean;
  /** Ranking: samples in one ranking, rankings of a sitting, and whether an order is expected. */
  size: string;
  rankings: string;
  predicted: boolean;
  /** Scales of the plan's own words, of every method that has them. */
  scales: DraftScale[];
  /** First impressions: a line of words after rating. */
  words: boolean;
  /** How often a sitting goes through all samples, or trials of it where each has several. */
  rounds: string;
  gradedTrials: string;
  /** Samples in one trial; empty: all. */
  together: string;
  /** The prototype that everybody is told is the reference, by its id. */
  openReference: string;
  /** By its frequency in hertz. An anchor is made of the reference, so nothing of it is typed. */
  anchors: Record<AnchorName, boolean>;
  screening: boolean;
  /** Of methods that ask for liking beside; `likingAsked` where they needn't. */
  liking: DraftScale;
  likingAsked: boolean;
  /** Scales from too little to too much. */
  rights: DraftRight[];
  /** Words to tick, one a line; what is meant by a word may follow it after a colon. */
  attributes: string;
  firstImpression: {
    windowSeconds: string;
    answerSeconds: string;
    reset: { kind: string; seconds: string; item: string };
  };
  /** Of first impressions, where they are part of the method. */
  hiddenRepeats: string;
  /** How often each kind of control is put in a sitting; the sample of a known difference is a prototype's id, or empty. */
  controls: {
    hiddenRepeats: string;
    identicalPairs: string;
    knownDifference: { trials: string; prototype: string };
    units: string;
  };
  looks: { kind: string; bounds: string };
  sessions: string;
  gapHours: string;
  /** Empty: no end. */
  spanDays: string;
  missed: string;
  /** Which sittings the verdict counts; `from` and `to` where they are typed. */
  verdictDays: { kind: string; from: string; to: string };
  checkIn: Record<Condition, string>;
  /** Marks by which answers are left out. */
  exclusions: Record<ExclusionRule, boolean>;
  noPreference: { offered: boolean; rule: string };
  alpha: string;
  beta: string;
  /** By its measure, since each method has its own. */
  smallest: Record<Plan['risks']['smallest']['kind'], string>;
  sides: string;
  primary: { first: string; second: string; scale: string };
  /** Who loads and hands over, for as long as something is. */
  handling: string;
  playback: string;
  sound: {
    match: { kind: string; low: string; high: string };
    alignment: string;
    minimumSeconds: string;
    interruption: string;
    wireless: string;
  };
  /** Days for which a measured level holds. */
  staleDays: string;
  tips: string;
  /** Cleaning and pauses may be empty: none. */
  timing: { listen: string; swap: string; fit: string; answer: string; clean: string; pause: string };
  /** People and minutes there are, for what they could find; no part of the plan. */
  budget: { people: string; minutes: string };
  /** The question after everything; words by the id of the prototype. */
  closing: { asked: boolean; words: Record<string, string> };
  /** The study that it goes on from; never typed. */
  follows: NonNullable<Plan['follows']> | null;
  /** Two files and one listener at once; never typed. */
  quick: boolean;
}

export interface DraftRight {
  id: string;
  name: string;
  low: string;
  high: string;
}

export interface DraftScale extends DraftRight {
  /** What is meant by it; of methods that ask for it. */
  definition: string;
  polarity: string;
  points: string;
}

/** Names of fields are the paths of the plan, so that what a schema finds wrong leads to its field. */
export const fieldNames = {
  aim: 'aim',
  method: 'method.id',
  turns: 'method.spec.turns',
  trials: 'method.spec.trials',
  attribute: 'method.spec.attribute',
  reference: 'method.spec.reference',
  showOther: 'method.spec.showOther',
  size: 'method.spec.size',
  rankings: 'method.spec.rankings',
  predicted: 'method.spec.predicted',
  words: 'method.spec.words',
  rounds: 'method.spec.rounds',
  screening: 'method.spec.screening',
  liking: 'method.spec.liking',
  likingAsked: 'method.spec.liking.asked',
  attributes: 'method.spec.attributes',
  hiddenRepeats: 'controls.hiddenRepeats',
  identicalPairs: 'controls.identicalPairs',
  knownTrials: 'controls.knownDifference.trials',
  known: 'controls.knownDifference.prototype',
  unitPairs: 'controls.units',
  looks: 'looks.kind',
  bounds: 'looks.bounds',
  people: 'budget.people',
  budgetMinutes: 'budget.minutes',
  sessions: 'sessions.count',
  gapHours: 'sessions.minimumGapHours',
  spanDays: 'sessions.maximumSpanDays',
  missed: 'sessions.missed',
  verdictDays: 'verdictDays',
  alpha: 'risks.alpha',
  beta: 'risks.beta',
  smallest: 'risks.smallest.value',
  sides: 'risks.sides',
  closing: 'closingQuestion.asked',
  staleDays: 'levels.staleDays',
} as const;

/** The draft with what came in a form. A field that didn't come stays as it was; ids are the server's own. */
export function draftFromForm(before: Draft, values: Values): Draft {
  const text = (name: string, old: string): string => values[name] ?? old;
  const method = text(fieldNames.method, before.method);
  const scaleAt = (path: string, scale: DraftScale): DraftScale => ({
    id: scale.id,
    name: text(`${path}.name`, scale.name),
    low: text(`${path}.low`, scale.low),
    high: text(`${path}.high`, scale.high),
    polarity: text(`${path}.polarity`, scale.polarity),
    points: text(`${path}.points`, scale.points),
    definition: text(`${path}.definition`, scale.definition),
  });
  const { reset } = before.firstImpression;
  // A method that nobody knows is refused by its field; what was typed belongs to the one that was shown.
  const measure = smallestKind(isMethod(method) ? method : before.method);
  // A box that isn't ticked isn't sent, and of another method it isn't there.
  const formThere = values.title !== undefined;
  const boxThere = (ofMethod: string) => formThere && methodShown(method) === ofMethod;
  const own = fieldsOf(method);
  const box = (there: boolean, name: string, old: boolean) => (formThere && there ? values[name] === 'yes' : old);
  // Hidden repeats are a part of some methods and a control of others, and what is usual differs.
  const repeatsOwn = protocolOf(methodShown(method)).controls.hiddenRepeats === 'own';
  // The page has the boxes of sound whatever plays, so that choosing it needs no other page.
  const rulesThere = formThere ? rulesOffered(method, { plays: true }) : [];
  return {
    title: text('title', before.title),
    question: text('question', before.question),
    product: text('product', before.product),
    aim: text(fieldNames.aim, before.aim),
    method,
    prototypes: before.prototypes.map((prototype, i) => ({
      id: prototype.id,
      name: text(`prototypes.${i}.name`, prototype.name),
      units: prototype.units.map((unit, j) => ({
        id: unit.id,
        serial: text(`prototypes.${i}.units.${j}.serial`, unit.serial),
        note: text(`prototypes.${i}.units.${j}.note`, unit.note),
      })),
    })),
    prices: pricesTyped(before, text),
    excerpts: before.excerpts.map(({ id, name }, i) => ({ id, name: text(`excerpts.${i}.name`, name) })),
    audiences: before.audiences.map((audience, i) => ({
      id: audience.id,
      name: text(`audiences.${i}.name`, audience.name),
      listeners: text(`audiences.${i}.listeners`, audience.listeners),
    })),
    pooling: text('pooling', before.pooling),
    turns: text(fieldNames.turns, before.turns),
    trials: own.trials ? before.trials : text(fieldNames.trials, before.trials),
    attribute: text(fieldNames.attribute, before.attribute),
    reference: own.reference ? before.reference : text(fieldNames.reference, before.reference),
    showOther: boxThere('a-not-a') ? values[fieldNames.showOther] === 'yes' : before.showOther,
    size: own.size ? before.size : text(fieldNames.size, before.size),
    rankings: text(fieldNames.rankings, before.rankings),
    predicted: boxThere('ranking') ? values[fieldNames.predicted] === 'yes' : before.predicted,
    scales: own.rights ? before.scales : before.scales.map((scale, i) => scaleAt(`method.spec.scales.${i}`, scale)),
    words: box(hasWindow(method), fieldNames.words, before.words),
    rounds: text(fieldNames.rounds, before.rounds),
    gradedTrials: own.trials ? text(fieldNames.trials, before.gradedTrials) : before.gradedTrials,
    together: own.size ? text(fieldNames.size, before.together) : before.together,
    openReference: own.reference ? text(fieldNames.reference, before.openReference) : before.openReference,
    anchors: Object.fromEntries(
      anchorNames.map((hertz) => [hertz, box(own.anchors, `anchors.${hertz}`, before.anchors[hertz])]),
    ) as Draft['anchors'],
    screening: box(own.screening, fieldNames.screening, before.screening),
    liking: scaleAt(fieldNames.liking, before.liking),
    likingAsked: box(own.liking === 'wished', fieldNames.likingAsked, before.likingAsked),
    rights: own.rights
      ? before.rights.map(({ id, ...right }, i) => ({
          id,
          name: text(`method.spec.scales.${i}.name`, right.name),
          low: text(`method.spec.scales.${i}.low`, right.low),
          high: text(`method.spec.scales.${i}.high`, right.high),
        }))
      : before.rights,
    attributes: text(fieldNames.attributes, before.attributes),
    firstImpression: {
      windowSeconds: text('firstImpression.windowSeconds', before.firstImpression.windowSeconds),
      answerSeconds: text('firstImpression.answerSeconds', before.firstImpression.answerSeconds),
      reset: {
        kind: text('firstImpression.reset.kind', reset.kind),
        seconds: text('firstImpression.reset.seconds', reset.seconds),
        item: text('firstImpression.reset.item', reset.item),
      },
    },
    hiddenRepeats: repeatsOwn ? text(fieldNames.hiddenRepeats, before.hiddenRepeats) : before.hiddenRepeats,
    controls: {
      hiddenRepeats: repeatsOwn
        ? before.controls.hiddenRepeats
        : text(fieldNames.hiddenRepeats, before.controls.hiddenRepeats),
      identicalPairs: text(fieldNames.identicalPairs, before.controls.identicalPairs),
      knownDifference: {
        trials: text(fieldNames.knownTrials, before.controls.knownDifference.trials),
        prototype: text(fieldNames.known, before.controls.knownDifference.prototype),
      },
      units: text(fieldNames.unitPairs, before.controls.units),
    },
    looks: { kind: text(fieldNames.looks, before.looks.kind), bounds: text(fieldNames.bounds, before.looks.bounds) },
    sessions: text(fieldNames.sessions, before.sessions),
    gapHours: text(fieldNames.gapHours, before.gapHours),
    spanDays: text(fieldNames.spanDays, before.spanDays),
    missed: text(fieldNames.missed, before.missed),
    verdictDays: {
      kind: text(fieldNames.verdictDays, before.verdictDays.kind),
      from: text('verdictDays.from', before.verdictDays.from),
      to: text('verdictDays.to', before.verdictDays.to),
    },
    checkIn: Object.fromEntries(
      conditions.map((condition) => [condition, text(`checkIn.${condition}`, before.checkIn[condition])]),
    ) as Draft['checkIn'],
    exclusions: Object.fromEntries(
      exclusionRules.map((rule) => [
        rule,
        rulesThere.includes(rule) ? values[`exclusions.${rule}`] === 'yes' : before.exclusions[rule],
      ]),
    ) as Draft['exclusions'],
    noPreference: {
      offered: boxThere('paired-preference') ? values['noPreference.offered'] === 'yes' : before.noPreference.offered,
      rule: text('noPreference.rule', before.noPreference.rule),
    },
    alpha: text(fieldNames.alpha, before.alpha),
    beta: text(fieldNames.beta, before.beta),
    smallest: {
      ...before.smallest,
      [measure]: text(fieldNames.smallest, before.smallest[measure]),
    },
    sides: text(fieldNames.sides, before.sides),
    primary: {
      first: text('primary.first', before.primary.first),
      second: text('primary.second', before.primary.second),
      scale: text('primary.scale', before.primary.scale),
    },
    handling: text('handling', before.handling),
    playback: text('playback', before.playback),
    sound: {
      match: {
        kind: text('sound.match.kind', before.sound.match.kind),
        low: text('sound.match.low', before.sound.match.low),
        high: text('sound.match.high', before.sound.match.high),
      },
      alignment: text('sound.alignment', before.sound.alignment),
      minimumSeconds: text('sound.minimumSeconds', before.sound.minimumSeconds),
      interruption: text('sound.interruption', before.sound.interruption),
      wireless: text('sound.wireless', before.sound.wireless),
    },
    staleDays: text(fieldNames.staleDays, before.staleDays),
    tips: text('tips', before.tips),
    timing: {
      listen: text('timing.listen', before.timing.listen),
      swap: text('timing.swap', before.timing.swap),
      fit: text('timing.fit', before.timing.fit),
      answer: text('timing.answer', before.timing.answer),
      clean: text('timing.clean', before.timing.clean),
      pause: text('timing.pause', before.timing.pause),
    },
    budget: {
      people: text(fieldNames.people, before.budget.people),
      minutes: text(fieldNames.budgetMinutes, before.budget.minutes),
    },
    closing: {
      // A box that isn't ticked isn't sent.
      asked: values.title === undefined ? before.closing.asked : values[fieldNames.closing] === 'yes',
      words: Object.fromEntries(
        samplesOf(before).flatMap(({ id }, i) => {
          const typed = values[`closingQuestion.labels.${i}.words`] ?? before.closing.words[id];
          return typed === undefined ? [] : [[id, typed]];
        }),
      ),
    },
    follows: before.follows,
    quick: before.quick,
  };
}

/** By the id of the prototype, since one that is taken out takes its class along. */
const pricesTyped = ({ prototypes, prices }: Draft, text: (name: string, old: string) => string): Draft['prices'] =>
  Object.fromEntries(
    prototypes.flatMap(({ id }, i) => {
      const rank = text(`prototypes.${i}.priceClass.rank`, prices[id]?.rank ?? '');
      const words = text(`prototypes.${i}.priceClass.words`, prices[id]?.words ?? '');
      return `${rank}${words}` === '' ? [] : [[id, { rank, words }]];
    }),
  );
