import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import type { AskedScale } from '../shared/scales';
import { type Form, type GradesForm, gradedIn } from './form';
import type { Meeting, Protocol, Scored, SentAnswer, TrialDesign, Truth } from './protocol';
import type { Random } from './random';
import { normalVariate } from './virtual-listener';

/** What methods share that ask for grades: how an answer is read and scored, and how a virtual listener gives one. */

export const gradesAnswer = z.strictObject({
  /** Places count from 0. */
  grades: z.array(z.strictObject({ place: z.int().min(0).max(12), scale: z.string(), value: z.int() })),
  ticks: z.array(z.strictObject({ place: z.int().min(0).max(12), attributes: z.array(z.string()) })),
});
export type GradesAnswer = z.infer<typeof gradesAnswer>;

/** What was sent, if it grades every sample on every scale once, and ticks or leaves words of each; else null. */
export function readGrades(form: Form, samples: number, sent: SentAnswer): GradesAnswer | null {
  if (form.kind !== 'grades' || !('grades' in sent)) return null;
  const places = gradedIn(form, samples);
  const grades = places.flatMap((place) =>
    form.scales.map(({ id, from, to }) => {
      const own = sent.grades.filter((one) => one.place === place + 1 && one.scale === id);
      const value = own[0]?.value;
      const fits = own.length === 1 && value !== undefined && Number.isInteger(value) && value >= from && value <= to;
      return fits ? { place, scale: id, value } : null;
    }),
  );
  const ticks = form.attributes.length === 0 ? [] : places.map((place) => ticksAt(form, sent, place));
  const none = form.attributes.length === 0 && sent.ticks.length > 0;
  if (none || sent.grades.length !== grades.length || sent.ticks.length !== ticks.length) return null;
  return grades.every((one) => one !== null) && ticks.every((one) => one !== null) ? { grades, ticks } : null;
}

function ticksAt({ attributes }: GradesForm, { ticks }: Extract<SentAnswer, { ticks: unknown }>, place: number) {
  const own = ticks.filter((one) => one.place === place + 1);
  const ticked = own[0]?.attributes ?? [];
  const known = ticked.every((id) => attributes.some((one) => one.id === id));
  return own.length === 1 && known && new Set(ticked).size === ticked.length
    ? { place, attributes: [...ticked] }
    : null;
}

/**
 * One value for each scale of each graded sample, as it is read (one decimal where the scale has it), and for each word
 * that may be ticked 1 or 0, under the word's id.
 */
export function scoreGrades(form: Form, { grades, ticks }: GradesAnswer): Scored[] {
  if (form.kind !== 'grades') throw new Error('Grades are scored by the form that asked for them.');
  const per = new Map(form.scales.map((scale) => [scale.id, scale.per]));
  return [
    ...grades.map(({ scale, place, value }) => ({ scale, place, value: value / (per.get(scale) ?? 1), late: false })),
    ...ticks.flatMap(({ place, attributes }) =>
      form.attributes.map(({ id }) => ({ scale: id, place, value: attributes.includes(id) ? 1 : 0, late: false })),
    ),
  ];
}

/** What a virtual listener's grades are made of, in points as they are read. */
export interface Grader {
  /** 1; −1 for who grades the wrong way round. */
  sense: 1 | -1;
  byChance: boolean;
  level: Record<string, number>;
  /** By scale and prototype. */
  taste: Record<string, number>;
  /** By scale and sitting. */
  day: Record<string, number>;
}

export function drawnGrader(truth: Truth, plan: Plan, scales: readonly { id: string }[], random: Random): Grader {
  const draw = random.uniform();
  const grader: Grader = {
    sense: draw < (truth.inverted ?? 0) ? -1 : 1,
    byChance: draw >= 1 - (truth.random ?? 0),
    level: {},
    taste: {},
    day: {},
  };
  for (const { id } of scales) {
    grader.level[id] = (truth.listenerSd ?? 0) * normalVariate(random);
    for (const prototype of plan.prototypes) {
      grader.taste[`${id} ${prototype.id}`] = (truth.interactionSd ?? 0) * normalVariate(random);
    }
    for (let sitting = 1; sitting <= plan.sessions.count; sitting++) {
      grader.day[`${id} ${sitting}`] = (truth.sessionSd ?? 0) * normalVariate(random);
    }
  }
  return grader;
}

/** Grades of all samples of a trial, each by itself: what it is like, who listens, on what day, how often before, and chance. */
export function simulatedGrades(truth: Truth, grader: Grader, meeting: Meeting, random: Random): GradesAnswer {
  const { form, design } = meeting;
  if (form.kind !== 'grades') throw new Error('Grades are given in answer to a form that asks for them.');
  const places = gradedIn(form, design.presentations.length);
  return {
    grades: places.flatMap((place) =>
      form.scales.map((scale) => ({
        place,
        scale: scale.id,
        value: graded(scale, design.presentations[place], place, truth, grader, meeting, random),
      })),
    ),
    ticks:
      form.attributes.length === 0
        ? []
        : places.map((place) => ({
            place,
            attributes: form.attributes.flatMap(({ id }) => {
              const felt = feltOf(id, design.presentations[place], place, truth, grader, meeting);
              const chance = grader.byChance ? 0.5 : 1 / (1 + Math.exp(-felt));
              return random.uniform() < chance ? [id] : [];
            }),
          })),
  };
}

function graded(
  scale: AskedScale,
  prototype: PrototypeId | undefined,
  place: number,
  truth: Truth,
  grader: Grader,
  meeting: Meeting,
  random: Random,
): number {
  const { from, to, per } = scale;
  if (grader.byChance) return from + Math.floor(random.uniform() * (to - from + 1));
  const exact =
    (from + to) / 2 +
    per *
      (feltOf(scale.id, prototype, place, truth, grader, meeting) + (truth.residualSd ?? 0) * normalVariate(random));
  // Plus nothing: a middle rounded to from below is no −0.
  return Math.min(to, Math.max(from, Math.round(exact))) + 0;
}

/** From the middle of the scale; `positionBias` lifts whatever is graded first in a trial. */
function feltOf(
  scale: string,
  prototype: PrototypeId | undefined,
  place: number,
  truth: Truth,
  grader: Grader,
  { sitting, heardBefore, form }: Meeting,
): number {
  const own = prototype === undefined ? 0 : (truth.ratings?.[scale]?.[prototype] ?? 0);
  return (
    grader.sense * (own + (grader.taste[`${scale} ${prototype}`] ?? 0)) +
    (grader.level[scale] ?? 0) +
    (grader.day[`${scale} ${sitting}`] ?? 0) +
    (truth.driftPerSession ?? 0) * (sitting - 1) +
    (truth.driftPerExposure ?? 0) * (heardBefore?.[place] ?? 0) +
    (form.kind === 'grades' && form.graded.length > 1 && place === form.graded[0] ? (truth.positionBias ?? 0) : 0)
  );
}

/** The parts of a protocol that all of them share. */
export const gradesParts = {
  answer: () => gradesAnswer,
  read: (form: Form, codes: readonly string[], sent: SentAnswer) => readGrades(form, codes.length, sent),
  score: (form: Form, _trial: TrialDesign, answer: GradesAnswer) => scoreGrades(form, answer),
  simulate: simulatedGrades,
} satisfies Partial<Protocol<never, GradesAnswer, Grader>>;
