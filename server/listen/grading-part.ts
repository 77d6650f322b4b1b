import { type GradesForm, gradedIn } from '../../protocols/form';
import type { SentGrades } from '../../protocols/protocol';
import { type AskedScale, type Said, scaleLimits } from '../../shared/scales';
import { type WordKey, words } from '../../shared/words/en';
import type { BlindPlan } from '../blind-plan';
import { toldBeside } from '../graded-beside';
import { codesOf } from '../live/advance';
import { codeShown } from '../live/code-shown';
import type { TrialRow } from '../store/tables';
import type { GradedCard, GradedScale, GradingPart, PlayerPart, SampleNow, TrialPart } from './view-models';

/** Words that take more than a line of a phone are closed at first, or stand below each other. */
const lineOfDefinition = 90;
const wordOfMark = 10;
const twoInALine = 22;

/**
 * What a phone shows of samples that are graded: all together, the one at the ear, or all again with what was said of
 * each. Cards stand in the order of the trial; which of them is a reference, an anchor or a repeat, nothing here knows.
 */
export function gradingPart(
  trial: TrialRow,
  form: GradesForm,
  plan: BlindPlan,
  here: TrialPart & SampleNow,
  player: PlayerPart | null,
): GradingPart {
  const at = trial.step === 'comparing' ? 'together' : trial.step === 'rating' ? 'one' : 'again';
  const codes = codesOf(trial);
  const graded = gradedIn(form, codes.length);
  const places = at === 'together' ? codes.map((_, place) => place) : at === 'one' ? [trial.presentation - 1] : graded;
  const alone = places.length === 1;
  const before = (JSON.parse((at === 'again' && trial.answer) || 'null') as SentGrades | null) ?? nothing;
  const card = (place: number): GradedCard => {
    const reference = place === form.reference;
    return {
      place: place + 1,
      code: !reference && codeShown(form, place, plan) ? (codes[place] ?? null) : null,
      reference,
      note: noteOf(form, place, reference || codeShown(form, place, plan)),
      ...(graded.includes(place)
        ? askedOf(form, trial, place, alone ? scaleLimits.page : form.scales.length, before)
        : { leaves: [], ticks: null }),
    };
  };
  return {
    ...here,
    // The question says which one it is; it is counted where nothing else names it.
    code: alone ? here.code : null,
    which: alone && here.code === null ? here.which : null,
    kind: 'grading',
    at,
    question: words[at === 'one' && form.question === 'question.grade-each' ? 'question.grade-one' : form.question],
    programme: at === 'one' ? words[`listening.${plan.playback === 'renders' ? 'seat-player' : plan.playback}`] : null,
    told: at === 'together' ? toldBeside(form, here.practice).map((key) => words[key]) : [],
    alone,
    scale: places.filter((place) => graded.includes(place)).length > 1 ? onlyName(form) : null,
    cards: places.map(card),
    player: at === 'again' ? null : player,
  };
}

/** Beside the number of a line there is room for the name on each. */
function onlyName({ scales, attributes }: GradesForm): string | null {
  const [only] = scales;
  return only && only.shape !== 'line' && scales.length === 1 && attributes.length === 0 ? said(only.name) : null;
}

const nothing: SentGrades = { grades: [], ticks: [] };

/** Counted where the question names one by its place, or where it has no code to go by. */
const noteOf = (form: GradesForm, place: number, named: boolean): string | null =>
  form.question === 'question.grade-second' || !named ? words[`sample.${place + 1}` as WordKey] : null;

/** The scales in this listener's order, in pages of so many, and the words. */
function askedOf(
  form: GradesForm,
  trial: TrialRow,
  place: number,
  most: number,
  before: SentGrades,
): Pick<GradedCard, 'leaves' | 'ticks'> {
  const shown = JSON.parse(trial.shown) as number[];
  const count = form.scales.length;
  const scales = shown.flatMap((index) => form.scales[index] ?? []);
  const attributes = shown.flatMap((index) => form.attributes[index - count] ?? []);
  const size = Math.ceil(count / Math.max(1, Math.ceil(count / Math.max(1, most))));
  const ticked = before.ticks.find((one) => one.place === place + 1)?.attributes;
  return {
    leaves: Array.from({ length: count === 0 ? 0 : Math.ceil(count / size) }, (_, leaf) =>
      scales.slice(leaf * size, (leaf + 1) * size).map((scale) => {
        const given = before.grades.find((one) => one.place === place + 1 && one.scale === scale.id)?.value;
        return scalePart(scale, given ?? null);
      }),
    ),
    ticks:
      attributes.length === 0
        ? null
        : {
            words: attributes.map(({ id, name, definition }) => ({
              id,
              name,
              definition: definition ?? null,
              long: isLong(definition),
              chosen: ticked?.includes(id) ?? false,
            })),
            none: ticked?.length === 0,
            wide: attributes.some(({ name }) => name.length > twoInALine),
          },
  };
}

function scalePart(scale: AskedScale, given: number | null): GradedScale {
  const { id, name, definition, low, high, from, to, per, shape, marks } = scale;
  const readAs = (stored: number): string => (stored / per).toFixed(per === 1 ? 0 : 1);
  const about = from < 0 && to === -from;
  const points = Array.from({ length: shape === 'line' ? 0 : to - from + 1 }, (_, at) => {
    const value = from + at;
    const mark = marks.find((one) => one.at === value);
    return {
      value,
      place: at + 1,
      middle: about && value === 0,
      says: mark ? said(mark.says) : null,
      chosen: value === given,
    };
  });
  return {
    id,
    name: said(name),
    definition: definition || null,
    long: isLong(definition),
    low: said(low),
    high: said(high),
    shape,
    // Words are read from the best, or the most, down.
    places: shape === 'words' ? points.reverse() : points,
    line:
      shape === 'line'
        ? {
            tenths: per === 10,
            from: readAs(from),
            to: readAs(to),
            marks: [...marks]
              .sort((a, b) => b.at - a.at)
              .map((mark) => ({ at: readAs(mark.at), says: said(mark.says) })),
            long: marks.some((mark) => said(mark.says).length > wordOfMark),
            given: given === null ? null : readAs(given),
          }
        : null,
  };
}

const isLong = (definition: string | undefined): boolean => (definition ?? '').length > lineOfDefinition;

/** @throws Error for a key that has no words: a fault of the method */
function said(what: Said): string {
  if ('own' in what) return what.own;
  const known: string | undefined = words[what.key as WordKey];
  if (known === undefined) throw new Error(`There are no words under ${what.key}.`);
  return known;
}
