import { type Condition, conditions, type ExclusionRule, exclusionRules, type Plan } from '../../shared/plan';
import type { Values } from '../web/forms';
import { isMethod, methodShown, rulesOffered, smallestKind } from './usual';

/**
 * A plan while it is written: every field as it was typed, so that nothing typed is ever lost. What belongs to another
 * method than the one chosen is kept as well, and comes back with it.
 */
export interface Draft {
  title: string;
  question: string;
  method: string;
  prototypes: { id: string; name: string; units: { id: string; serial: string; note: string }[] }[];
  excerpts: { id: string; name: string }[];
  audiences: { id: string; name: string; listeners: string }[];
  turns: string;
  trials: string;
  scales: DraftScale[];
  firstImpression: {
    windowSeconds: string;
    answerSeconds: string;
    reset: { kind: string; seconds: string; item: string };
  };
  hiddenRepeats: string;
  sessions: string;
  gapHours: string;
  /** Empty: no end. */
  spanDays: string;
  missed: string;
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
  timing: { listen: string; swap: string; fit: string; answer: string };
  /** The question after everything; words by the id of the prototype. */
  closing: { asked: boolean; words: Record<string, string> };
  /** The study that it goes on from; never typed. */
  follows: NonNullable<Plan['follows']> | null;
  /** Two files and one listener at once; never typed. */
  quick: boolean;
}

export interface DraftScale {
  id: string;
  name: string;
  low: string;
  high: string;
  polarity: string;
  points: string;
}

/** Names of fields are the paths of the plan, so that what a schema finds wrong leads to its field. */
export const fieldNames = {
  method: 'method.id',
  turns: 'method.spec.turns',
  trials: 'method.spec.trials',
  hiddenRepeats: 'controls.hiddenRepeats',
  sessions: 'sessions.count',
  gapHours: 'sessions.minimumGapHours',
  spanDays: 'sessions.maximumSpanDays',
  missed: 'sessions.missed',
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
  const { reset } = before.firstImpression;
  // A method that nobody knows is refused by its field; what was typed belongs to the one that was shown.
  const measure = smallestKind(isMethod(method) ? method : before.method);
  // A box that isn't ticked isn't sent, and of another method it isn't there.
  const formThere = values.title !== undefined;
  const boxThere = formThere && methodShown(method) === 'paired-preference';
  // The page has the boxes of sound whatever plays, so that choosing it needs no other page.
  const rulesThere = formThere ? rulesOffered(method, { plays: true }) : [];
  return {
    title: text('title', before.title),
    question: text('question', before.question),
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
    excerpts: before.excerpts.map(({ id, name }, i) => ({ id, name: text(`excerpts.${i}.name`, name) })),
    audiences: before.audiences.map((audience, i) => ({
      id: audience.id,
      name: text(`audiences.${i}.name`, audience.name),
      listeners: text(`audiences.${i}.listeners`, audience.listeners),
    })),
    turns: text(fieldNames.turns, before.turns),
    trials: text(fieldNames.trials, before.trials),
    scales: before.scales.map((scale, i) => ({
      id: scale.id,
      name: text(`method.spec.scales.${i}.name`, scale.name),
      low: text(`method.spec.scales.${i}.low`, scale.low),
      high: text(`method.spec.scales.${i}.high`, scale.high),
      polarity: text(`method.spec.scales.${i}.polarity`, scale.polarity),
      points: text(`method.spec.scales.${i}.points`, scale.points),
    })),
    firstImpression: {
      windowSeconds: text('firstImpression.windowSeconds', before.firstImpression.windowSeconds),
      answerSeconds: text('firstImpression.answerSeconds', before.firstImpression.answerSeconds),
      reset: {
        kind: text('firstImpression.reset.kind', reset.kind),
        seconds: text('firstImpression.reset.seconds', reset.seconds),
        item: text('firstImpression.reset.item', reset.item),
      },
    },
    hiddenRepeats: text(fieldNames.hiddenRepeats, before.hiddenRepeats),
    sessions: text(fieldNames.sessions, before.sessions),
    gapHours: text(fieldNames.gapHours, before.gapHours),
    spanDays: text(fieldNames.spanDays, before.spanDays),
    missed: text(fieldNames.missed, before.missed),
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
      offered: boxThere ? values['noPreference.offered'] === 'yes' : before.noPreference.offered,
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
    },
    closing: {
      // A box that isn't ticked isn't sent.
      asked: values.title === undefined ? before.closing.asked : values[fieldNames.closing] === 'yes',
      words: Object.fromEntries(
        before.prototypes.flatMap(({ id }, i) => {
          const typed = values[`closingQuestion.labels.${i}.words`] ?? before.closing.words[id];
          return typed === undefined ? [] : [[id, typed]];
        }),
      ),
    },
    follows: before.follows,
    quick: before.quick,
  };
}
