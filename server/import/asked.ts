import { methodOf } from '../../protocols/index';
import { handsOver, type Plan, plays } from '../../shared/plan';
import { type Said, scaleValues } from '../../shared/scales';
import type { WordKey } from '../../shared/words/en';
import { say } from '../../shared/words/say';

/** A scale, or a word that may be ticked, as a file of answers has it. */
export interface AskedValue {
  id: string;
  name: string;
  /** As it is read; stored values are that times `per`. */
  from: number;
  to: number;
  per: number;
  ticked: boolean;
}

const words = (said: Said): string => ('own' in said ? said.own : say(said.key as WordKey));

type Method = ReturnType<typeof methodOf>;
const methods = new WeakMap<Plan, { method: Method; values: AskedValue[] }>();

/** A file has thousands of rows, and all are of one plan. */
function remembered(plan: Plan): { method: Method; values: AskedValue[] } {
  const known = methods.get(plan);
  if (known) return known;
  const method = methodOf(plan);
  const made = { method, values: valuesOf(method) };
  methods.set(plan, made);
  return made;
}

export const methodIn = (plan: Plan): Method => remembered(plan).method;

/** All that a plan has rated; none where its method rates nothing. */
export const valuesAsked = (plan: Plan): AskedValue[] => remembered(plan).values;

function valuesOf({ form }: Method): AskedValue[] {
  if (form.kind === 'scales') {
    return form.scales.map((scale) => {
      const values = scaleValues(scale);
      return { ...scale, from: values[0] as number, to: values.at(-1) as number, per: 1, ticked: false };
    });
  }
  if (form.kind !== 'grades') return [];
  return [
    ...form.scales.map(({ id, name, from, to, per }) => ({
      ...{ id, name: words(name), per, ticked: false },
      ...{ from: from / per, to: to / per },
    })),
    ...form.attributes.map(({ id, name }) => ({ id, name, from: 0, to: 1, per: 1, ticked: true })),
  ];
}

/** Whether each sample of a trial has values of its own. */
export const valuesEach = (plan: Plan): boolean => {
  const { form } = methodIn(plan);
  return form.kind === 'in-order' || (form.kind === 'grades' && form.presentations > 1);
};

export interface AnswerColumn {
  name: string;
  /** Must be there; else it has a usual value, which its meaning says. */
  needed: boolean;
  /** Stands in the table that people are given to fill in. */
  offered: boolean;
  meaning: string;
}

const places = (count: number): number[] => Array.from({ length: count }, (_, i) => i + 1);

/** Samples of a trial, those of practice among them, which may be more. */
export function mostPresentations(plan: Plan): number {
  const { protocol, spec, form } = methodIn(plan);
  return Math.max(form.presentations, protocol.practicePresentations(spec));
}

/** Every column that a file of answers to this plan may have. */
export function answerColumns(plan: Plan): AnswerColumn[] {
  const { form } = methodIn(plan);
  const rated = valuesAsked(plan);
  const each = valuesEach(plan);
  const graded = rated.length > 0;
  const names = plan.prototypes.map(({ name }) => name).join(', ');
  const several = (all: readonly unknown[]) => all.length > 1;
  const column = (name: string, needed: boolean, offered: boolean, meaning: string): AnswerColumn => ({
    ...{ name, needed, offered, meaning },
  });
  const own = form.kind === 'in-order' ? 'Ranking' : 'Trial';
  return [
    column(
      'audience',
      several(plan.audiences),
      several(plan.audiences),
      `Name of the audience: ${plan.audiences.map(({ name }) => name).join(', ')}`,
    ),
    column('listener', true, true, 'Number or name of the listener; names are replaced by numbers and kept nowhere'),
    column('session', false, plan.sessions.count > 1, 'Number of the session, from 1; empty: 1'),
    column('sitting', false, false, 'Which of the listener’s own sittings; empty: in the order of sessions'),
    column(
      'trial',
      false,
      true,
      `${own} within the sitting, from 1 in the order of hearing; empty in all rows: the order is not known`,
    ),
    column('position', false, false, 'The same as trial, where that is missing'),
    ...places(mostPresentations(plan)).map((place) =>
      column(
        `presentation_${place}`,
        !each && place <= form.presentations,
        !each || form.presentations < plan.prototypes.length,
        `Name of the prototype that was heard${form.presentations === 1 && place === 1 ? '' : ` as number ${place}`}: ${names}`,
      ),
    ),
    ...(handsOver(plan)
      ? places(mostPresentations(plan)).map((place) =>
          column(
            `unit_${place}`,
            false,
            plan.prototypes.some(({ units }) => several(units)) && place <= form.presentations,
            'Serial of its unit; may be empty where the prototype has one',
          ),
        )
      : []),
    ...places(mostPresentations(plan)).map((place) =>
      column(`code_${place}`, false, false, 'Blinding code that it had; empty: one is drawn'),
    ),
    ...(plays(plan)
      ? [
          column(
            'excerpt',
            several(plan.excerpts),
            several(plan.excerpts),
            `Piece of programme: ${plan.excerpts.map(({ name }) => name).join(', ')}`,
          ),
        ]
      : []),
    ...(graded
      ? []
      : [
          column('answer', false, true, `${answerMeaning(plan)}. Needed where no value stands`),
          column('picked', false, false, pickedMeaning),
        ]),
    ...(each
      ? [
          column('prototype', false, true, `Name of the prototype that the value is about: ${names}`),
          column('place', false, false, 'Or its place in the order of hearing, from 1'),
          column('code', false, false, 'Or its blinding code'),
          column('unit', false, false, 'Serial of its unit, where no column unit_1 says it'),
        ]
      : []),
    ...(graded
      ? [
          column(
            'scale',
            several(rated),
            several(rated),
            `What was rated: ${rated.map(({ name }) => name).join(', ')}. A row for each`,
          ),
        ]
      : []),
    column('value', graded, graded || each, valueMeaning(plan, rated)),
    column('practice', false, false, '1 for a practice trial, which is never analysed; empty: none'),
    column('control', false, false, 'Kind of a control trial of the plan, which counts for no verdict; empty: none'),
    column('void', false, false, 'Why a trial was voided, which is never analysed; empty: it counts'),
    ...(form.kind === 'scales'
      ? [
          column('late', false, false, '1 past the time allowed; empty: in time'),
          column('touched_ms', false, false, 'Milliseconds from the first sound to the first touch of this scale'),
        ]
      : []),
    column('flags', false, false, 'Marks of the answer, between spaces, as in our own file of answers'),
    column('exposure', false, false, 'How often the listener had heard the sample by then; empty: it is counted'),
    column('heard_ms', false, false, 'Milliseconds that the samples were heard'),
    column('answered_ms', false, false, 'Milliseconds up to the answer'),
    column('answered_at', false, false, 'When it was answered, ISO 8601; without a zone it counts as UTC'),
  ];
}

const pickedMeaning = 'Or the places of what was named, from 1, with + between them';

function answerMeaning(plan: Plan): string {
  const { form } = methodIn(plan);
  switch (form.kind) {
    case 'yes-no':
      return form.question === 'question.same' ? 'different, or same' : 'learnt (the one that was learnt), or other';
    case 'in-order':
      return 'Names of the prototypes, the best first, with > between them; or a row for each sample with its rank as value';
    case 'pick-group':
      return 'Names of the prototypes that were said to belong together, with + between them; or value 1 for right, 0 for wrong';
    case 'pick-one':
      return form.question === 'question.prefer'
        ? `Name of the preferred prototype${form.none === null ? '' : ', or none'}`
        : `Name of the prototype of the sample that was named; or value 1 for right, 0 for wrong`;
    default:
      return '';
  }
}

function valueMeaning(plan: Plan, rated: readonly AskedValue[]): string {
  const { form, protocol } = methodIn(plan);
  if (rated.length > 0) {
    const ends = rated.map(({ name, from, to, ticked, per }) =>
      ticked ? `${name}: 1 ticked, 0 not` : `${name}: from ${from} to ${to}${per === 1 ? '' : ', one decimal'}`,
    );
    return ends.join('; ');
  }
  if (form.kind === 'in-order') return 'Rank of that sample, 1 the best';
  if (form.kind === 'yes-no')
    return form.question === 'question.same'
      ? 'Instead of answer: 1 for different, 0 for same'
      : 'Instead of answer: 1 for learnt, 0 for other';
  return protocol.family === 'preference'
    ? 'Instead of answer: 1 for the first, -1 for the second, 0 for none'
    : 'Instead of answer: 1 for a right one, 0 for a wrong one';
}
